"""What a check costs in a ledger of 1,000 boards and in one of 1,000,000."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from flask import Flask
from tqdm import tqdm

from service.demo.world import demo_catalogue
from service.domain.ledger.event import Draft
from service.domain.serials import Scheme, make
from service.papers import canonical_document, read_catalogue
from service.settings import Settings
from service.store import migrate, revisions
from service.store.append import append_many
from service.store.engine import open_engine, writing
from tests.bench.timing import interleaved
from tests.bench.worlds import bare_app, get, served

SMALL = 1_000
LARGE = int(os.environ.get("BENCH_BOARDS", "1000000"))
CHUNK = 20_000
"""Boards in one transaction while a ledger is made."""
Schemes = Mapping[Any, Scheme]
WHEN = datetime(2025, 3, 3, 8, tzinfo=UTC)


def growth() -> Iterator[str]:
    """GET /v1/fit with both serials recorded, in a ledger of 1,000 boards and in a large one, in one run."""
    with ExitStack() as stack:
        works: dict[str, Any] = {"bare": get(bare_app(), "/bare")}
        for boards in (SMALL, LARGE):
            folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
            app, target = _shop(folder / "ledger.db", boards)
            works[f"{boards:,} boards"] = get(app, target)
        found = interleaved(works)
        small, large = (found[f"{boards:,} boards"] for boards in (SMALL, LARGE))
        yield f"{SMALL:,} boards {small * 1e6:.0f} us, {LARGE:,} boards {large * 1e6:.0f} us"
        yield f"{large / small:.2f} times"


def _shop(file: Path, boards: int) -> tuple[Flask, str]:
    """The app on a ledger with so many boards and as many units as a tenth of them, and a fit question."""
    schemes, app = shop_of(file, boards, received_boards)
    middle = boards // 20 * 10
    return app, f"/v1/fit?board={board(schemes, middle)}&unit={unit(schemes, middle)}"


def shop_of(file: Path, boards: int, told: Callable[[Schemes, range], list[Draft]]) -> tuple[Schemes, Flask]:
    """The app on a new ledger of the events that are told of each chunk of boards' numbers."""
    schemes = make_ledger(file, boards, told)
    settings = Settings(database_url=f"sqlite:///{file}", catalogue_check_seconds=60, key_check_seconds=60)
    return schemes, served(settings)


def make_ledger(file: Path, boards: int, told: Callable[[Schemes, range], list[Draft]]) -> Schemes:
    """A new ledger of those events, on the demo's catalogue, whose serial schemes are given back."""
    text = demo_catalogue()
    catalogue = read_catalogue(text)
    schemes = {scheme.id: scheme for scheme in catalogue.schemes}
    engine = open_engine(f"sqlite:///{file}")
    migrate.to_head(engine)
    with writing(engine) as connection:
        revisions.publish(connection, canonical_document(text), catalogue.revision)
    chunks = range(0, boards, CHUNK)
    for start in tqdm(chunks, desc=f"{boards:,} boards", leave=False, disable=boards <= CHUNK):
        append_many(engine, told(schemes, range(start, min(start + CHUNK, boards))))
    engine.dispose()
    return schemes


def received_boards(schemes: Schemes, numbers: range) -> list[Draft]:
    """Blank main boards received into stock, and for every tenth a registered unit."""
    events = []
    for number in numbers:
        if number % 10 == 0:
            events.append(registered(schemes, number))
        events.append(_received(schemes, number))
    return events


def _received(schemes: Schemes, number: int) -> Draft:
    data = {"board": board(schemes, number), "part": "MN-4100", "binding": "blank"}
    return Draft(kind="received", occurred_at=WHEN, data=data)


def registered(schemes: Schemes, number: int) -> Draft:
    """A unit of that number."""
    data = {"unit": unit(schemes, number), "model": "plover-40", "market": "mainland"}
    return Draft(kind="registered", occurred_at=WHEN, data=data)


def board(schemes: Schemes, number: int) -> str:
    """The serial of the main board of that number."""
    return make(schemes["tillmoor-board"], _fields("M41", number))


def unit(schemes: Schemes, number: int) -> str:
    """The serial of the unit of that number."""
    return make(schemes["tillmoor-unit"], _fields("PL", number))


def _fields(product: str, number: int) -> dict[str, Any]:
    """A different year, week and running number for each."""
    batch, running = divmod(number, 10_000)
    year, week = divmod(batch, 52)
    return {"product": product, "year": 2014 + year, "week": week + 1, "number": running}
