"""Small ledgers to test on."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Engine, Table, select

from service.domain.ledger.event import Draft, Event, Subject, SubjectKind
from service.domain.terms import Serial
from service.store.append import append
from service.store.engine import reading, writing
from service.store.errors import AlreadyBound
from service.store.tables import BOARDS, UNITS, VACANCIES
from tests.ledger.histories import renamed
from tests.ledger.telling import draft, factory_set, fit, remove

BIND = draft("step_finished", step="enter_serial", board="B1", unit="U1", model="plover-40")
BIND_OTHER = draft("step_finished", step="enter_serial", board="B1", unit="U2", model="plover-60")
RECEIVED = draft("received", board="B1", part="p-1", binding="blank")
BOUND_60 = {"binding": "bound", "bound_model": "plover-60"}
NAMING = {"board": "B1", "role": "main"}
CORRECTED = draft("corrected", withdraws=1, reason="mistyped")


def board(serial: str) -> Subject:
    return Subject(SubjectKind.BOARD, Serial(serial))


def unit(serial: str) -> Subject:
    return Subject(SubjectKind.UNIT, Serial(serial))


def tell(engine: Engine, *drafts: Draft) -> list[Event]:
    """Append the drafts one by one, all in one transaction: a correction may name one of them."""
    with writing(engine) as connection:
        return [event for each in drafts for event in append(connection, [each])]


def record(engine: Engine, history: Sequence[Draft], mark: str) -> list[Event]:
    """Append a random history, about boards and units of its own; what binds a board twice is left out."""
    numbers: dict[int, int] = {}
    events: list[Event] = []
    with writing(engine) as connection:
        for at, each in enumerate(history, 1):
            data = renamed(dict(each.data), mark)
            if "withdraws" in data:
                if data["withdraws"] not in numbers:
                    continue
                data["withdraws"] = numbers[data["withdraws"]]
            if "placed" in data:
                data["placed"] = numbers.get(data["placed"], 1)
            with suppress(AlreadyBound):
                events += append(connection, [replace(each, data=data)])
                numbers[at] = events[-1].seq
    return events


def a_day_at_the_bench(engine: Engine) -> list[Event]:
    """The swap of a main board, up to a corrected slip of the pen: every write-once table has rows."""
    return tell(
        engine,
        factory_set(),
        RECEIVED,
        remove("M1"),
        fit("B1"),
        BIND,
        draft("step_failed", step="introduce", unit="U1", board="P1", role="panel", naming=NAMING),
        draft("exposed", board="M1", to="water", certain=False),
        draft("hold_placed", unit="U1", hold="recalled"),
        draft(
            "corrected", withdraws=5, reason="mistyped", board="B1", binding="bound", bound_model="plover-60"
        ),
    )


def state_tables(engine: Engine) -> dict[str, list[Any]]:
    with reading(engine) as connection:
        return {table.name: _rows(connection, table) for table in (BOARDS, UNITS, VACANCIES)}


def _rows(connection: Connection, table: Table) -> list[Any]:
    return list(connection.execute(select(table).order_by(*table.primary_key)).all())
