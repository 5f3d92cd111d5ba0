"""What grows with the number of shops, boards and keys: memory, disk, statements, and the time that a write
holds the ledger's lock. `DEVELOPERS.md`, "Past one shop", is reckoned from these figures.
"""

from __future__ import annotations

import argparse
import gc
import sys
import tempfile
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, text
from sqlalchemy import event as listening

from service.api.calling import EXTENSION
from service.demo import serials as s
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import compile_catalogue
from service.domain.ledger.event import Draft
from service.domain.recording.legality import judge
from service.papers import canonical_document, load_document, read_catalogue
from service.store.append import append, append_many
from service.store.engine import reading, writing
from service.store.keys import all_keys
from service.store.rates import shared_counts
from service.store.reader import Reader
from service.usecases.admitting import admission
from service.usecases.caller import Scope
from service.usecases.keys import make_key
from tests.endurance.asking import event
from tests.endurance.serving import a_shop
from tests.ledger.telling import draft
from tests.papers.test_a_catalogue_of_the_largest_size import large
from tests.soak.running import database
from tests.support.databases import opened
from tests.support.keys import keyed_app

COPIES = 40
KEYS = 2_000
BOARDS = 20_000
"""Each with four events."""
CHUNK = 1_000
WRITES = 200
WRITERS = 8
MEBI = 2**20


def memory() -> int:
    """Bytes that are this process's own."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("RssAnon"):
            return int(line.split()[1]) * 1024
    raise OSError("the system does not tell what memory a process has")


def grown(make: Callable[[], object], times: int) -> float:
    """Bytes that one of so many takes while it is kept."""
    kept = [make()]  # the first one brings what all share
    gc.collect()
    before = memory()
    kept += [make() for _ in range(times)]
    gc.collect()
    return (memory() - before) / times


def catalogues() -> Iterator[str]:
    """Catalogues in memory, each by itself."""
    yield catalogue("the demo's catalogue", demo_catalogue(), COPIES)
    yield catalogue("a large catalogue", large(5_000, 500), 3)


def catalogue(name: str, source: str, copies: int) -> str:
    """What each of some copies takes."""
    document, parts = canonical_document(source), len(read_catalogue(source).parts)
    began = time.process_time()
    each = grown(lambda: compile_catalogue(load_document(document)), copies)
    seconds = (time.process_time() - began) / (copies + 1)
    return (
        f"{name} ({parts:,} parts, {len(document) / 1024:,.0f} KiB): "
        f"{each / 1024:,.0f} KiB in memory, compiled in {seconds * 1000:.0f} ms"
    )


def on(shop: Engine) -> Iterator[str]:
    """A shop in a database."""
    kind = shop.dialect.name
    yield f"{kind}: {keys(shop)}"
    yield f"{kind}: {rates(shop)}"
    for kind_of_call, counted in statements(shop).items():
        told = ", ".join(f"{number} that {what}" for what, number in counted.items())
        yield f"{kind}: {kind_of_call}: {told}"
    yield f"{kind}: {lock(shop)}"
    yield f"{kind}: {disk(shop)}"


def keys(shop: Engine) -> str:
    """Keys in memory, as each process holds all of them."""
    for _ in range(KEYS):
        make_key(shop, owner="many", scopes=[Scope.ASK])
    with reading(shop) as connection:
        began = time.perf_counter()
        found = len(all_keys(connection))
        seconds = time.perf_counter() - began
        tracemalloc.start()
        held = {key.id: admission(key) for key in all_keys(connection)}
        each = tracemalloc.get_traced_memory()[0] / len(held)
        tracemalloc.stop()
    return f"{found:,} keys looked up anew in {seconds * 1000:.0f} ms, {each:,.0f} bytes each"


def rates(shop: Engine) -> str:
    """What counting in the database takes of a request."""
    reader = Reader(shop)
    counts = shared_counts(shop, reader, 1)
    began, spent = time.perf_counter(), time.process_time()
    for _ in range(WRITES):
        counts.incr("somebody", 60)
    seconds, cpu = time.perf_counter() - began, time.process_time() - spent
    reader.close()
    return (
        f"counting a request in the database {seconds / WRITES * 1e6:,.0f} us, "
        f"{cpu / WRITES * 1e6:,.0f} us of the process"
    )


def statements(shop: Engine) -> dict[str, Counter[str]]:
    """By call, what is sent to the database where nothing is due to be looked at anew."""
    app = keyed_app(shop)
    client, seen = app.test_client(), []

    def note(_c: Any, _cursor: Any, statement: str, *_: Any) -> None:
        seen.append("write" if statement.lstrip().startswith(("INSERT", "UPDATE", "DELETE")) else "read")

    board = s.board_serial("M41", 2014, 51, 1)
    received = {"events": [event("received", board=board, part="MN-4100", binding="blank")]}
    question = {"board": {"serial": board}, "unit": {"serial": s.CUSTOMER_PLOVER_40}}
    fit = f"/v1/fit?board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}"
    found: dict[str, Counter[str]] = {}

    def counted(name: str, call: Callable[[], Any]) -> Any:
        client.get(fit)
        seen.clear()
        answer = call()
        assert answer.status_code in (200, 201), answer.get_data()
        found[name] = Counter(seen)
        return answer.get_json()

    def post(path: str, body: Any) -> Any:
        return client.post(path, json=body, headers={"Idempotency-Key": "capacity-0001"})

    listening.listen(shop, "before_cursor_execute", note)
    counted("fit", lambda: client.get(fit))
    counted("one event", lambda: post("/v1/events", received))
    check = counted("sale check", lambda: post("/v1/sale-checks", question))
    accepted = {"accepted": [each["code"] for each in check["conditions"]]}
    counted("sale completion", lambda: post(f"/v1/sale-checks/{check['id']}/completion", accepted))
    listening.remove(shop, "before_cursor_execute", note)
    app.extensions[EXTENSION].reader.close()
    return found


def lock(shop: Engine) -> str:
    """Single events by several writers at once: each has the ledger's lock from its first statement on."""
    compiled, numbers = compile_catalogue(read_catalogue(demo_catalogue())), count()
    law = partial(judge, compiled)

    def one(_: int) -> None:
        board = s.board_serial("M41", 2015, 1, next(numbers))
        with writing(shop) as connection:
            append(connection, [draft("received", board=board, part="MN-4100", binding="blank")], judge=law)

    began = time.perf_counter()
    with ThreadPoolExecutor(WRITERS) as pool:
        list(pool.map(one, range(WRITES)))
    seconds = (time.perf_counter() - began) / WRITES
    return (
        f"one event holds the ledger's lock for {seconds * 1000:.1f} ms: {1 / seconds:,.0f} events/s "
        f"by {WRITERS} writers"
    )


def disk(shop: Engine) -> str:
    """Bytes of a ledger of boards that were received, tested and bound, and fit a unit each."""
    before = size(shop)
    for start in range(0, BOARDS, CHUNK):
        append_many(shop, [one for number in range(start, start + CHUNK) for one in _life(number)])
    grown = size(shop) - before
    million = grown / (4 * BOARDS) * 1e6
    return f"{million / MEBI:,.0f} MiB for a million events with all that is kept beside them"


def _life(number: int) -> list[Draft]:
    batch, running = divmod(number, 10_000)
    board = s.board_serial("M41", 2016, batch + 1, running)
    unit = s.unit_serial("PL", 2016, batch + 1, running)
    return [
        draft("registered", unit=unit, model="plover-40", market="mainland"),
        draft("received", board=board, part="MN-4100", binding="blank"),
        draft("tested", board=board, passed=True),
        draft("step_finished", step="enter_serial", board=board, unit=unit, model="plover-40"),
    ]


def size(shop: Engine) -> int:
    """Bytes of the database on the disk, when all is in its place."""
    with reading(shop) as connection:
        if shop.dialect.name == "sqlite":
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
            pages, each = (
                connection.exec_driver_sql(f"PRAGMA page_{what}").scalar_one() for what in ("count", "size")
            )
            return int(pages) * int(each)
        return int(connection.execute(text("SELECT pg_database_size(current_database())")).scalar_one())


@contextmanager
def _shop(kind: str) -> Iterator[Engine]:
    with (
        tempfile.TemporaryDirectory(prefix="boardfit-capacity-") as folder,
        database(kind, Path(folder)) as place,
        a_shop(place.url),
        opened(place.url) as engine,
    ):
        yield engine


def main() -> int:
    """Measure all of it."""
    argparse.ArgumentParser(prog="python -m tests.soak.capacity", description=__doc__).parse_args()
    for line in catalogues():
        print(line, flush=True)
    for kind in ("sqlite", "postgresql"):
        with _shop(kind) as engine:
            for line in on(engine):
                print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
