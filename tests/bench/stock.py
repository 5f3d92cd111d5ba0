"""What a page of candidates costs among 10,000 boards and among 1,000,000."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from service.api.edge.paging import sealed
from service.domain.ledger.event import Draft
from tests.bench.growth import LARGE, WHEN, Schemes, board, registered, shop_of, unit
from tests.bench.timing import interleaved
from tests.bench.worlds import get

SMALL = 10_000
MODELS = ("plover-40", "plover-60", "curlew-20", "wren-8")


def candidates() -> Iterator[str]:
    """A page of candidates, the first and one from the middle, among 10,000 boards and among many."""
    with ExitStack() as stack:
        works: dict[str, Any] = {}
        for boards in (SMALL, LARGE):
            folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
            schemes, app = shop_of(folder / "ledger.db", boards, told)
            for page, target in pages(schemes, boards).items():
                works[f"{page} {boards}"] = get(app, target)
        found = interleaved(works, turns=20, repeats=20)
    for page in ("first", "middle"):
        small, large = (found[f"{page} {boards}"] for boards in (SMALL, LARGE))
        yield f"{page} page: {SMALL:,} boards {small * 1e6:.0f} us, {LARGE:,} boards {large * 1e6:.0f} us"
        yield f"{large / small:.2f} times"


def pages(schemes: Schemes, boards: int) -> dict[str, str]:
    """The addresses of the first page of 20, and of one from the middle of the blank boards."""
    path = f"/v1/units/{unit(schemes, 0)}/candidates"
    cursor = sealed((2, 1, "318.00", board(schemes, boards // 2)), {"": path, "role": "main"})
    return {"first": f"{path}?role=main", "middle": f"{path}?role=main&cursor={cursor}"}


def told(schemes: Schemes, numbers: range) -> list[Draft]:
    """Main boards in and out of stock: programmed for one of four models, blank, or nobody knows; every
    third one tested. A unit for every tenth; some boards hold the serial of one that is in service."""
    events = []
    for number in numbers:
        if number % 10 == 0:
            events.append(registered(schemes, number))
        events += _board(schemes, number)
    return events


def _board(schemes: Schemes, number: int) -> Iterator[Draft]:
    serial = board(schemes, number)
    yield _note("received", board=serial, part="MN-4100", **_binding(schemes, number))
    if number % 3 == 0:
        yield _note("tested", board=serial, passed=True)


def _binding(schemes: Schemes, number: int) -> dict[str, str]:
    match number % 7:
        case 0 | 1 | 2 | 3 as which:
            holds = {"holds": unit(schemes, number // 10 * 10)} if number % 50 == 7 else {}
            return {"binding": "bound", "bound_model": MODELS[which], **holds}
        case 4 | 5:
            return {"binding": "blank"}
        case _:
            return {"binding": "used"}


def _note(kind: str, **data: Any) -> Draft:
    return Draft(kind=kind, occurred_at=WHEN, data=data)
