"""What it costs to let somebody in (the key's check, the count and its header fields), and to be seen."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from service.api.access import guard
from service.api.calling import EXTENSION
from service.settings import Settings
from service.usecases.caller import Scope
from service.wiring import open_access
from tests.bench.timing import interleaved
from tests.bench.worlds import bare_app, demo_app, get, watched


def keys() -> Iterator[str]:
    """A bare Flask route that is counted and logged, then behind the guard too, against the route alone."""
    with demo_app() as app:
        shop = app.extensions[EXTENSION]
        works: dict[str, Callable[[], bytes]] = {"bare": get(bare_app(), "/bare")}
        works["seen"] = get(watched(bare_app()), "/bare")
        for store in ("memory", "database"):
            settings = Settings(rate_store=store, key_check_seconds=60)
            guarded = bare_app()
            for view in guarded.view_functions.values():
                vars(view)["scope"] = Scope.ASK
            guard.register(guarded, open_access(shop.database, settings, shop.reader))
            works[store] = get(watched(guarded), "/bare")
        found = interleaved(works, turns=60)
        bare, seen = found.pop("bare"), found.pop("seen")
        costs = {"counted, timed and logged": seen - bare}
        costs |= {f"the guard, counting in {store}": seconds - seen for store, seconds in found.items()}
        for name, more in costs.items():
            yield f"{name}: {more * 1e6:.1f} us more, {more / bare:.2f} times a bare route"
