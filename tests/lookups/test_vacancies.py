"""Which units wait for a board: a cache of the fold, whatever happened and in whichever order."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from itertools import count
from types import ModuleType

import pytest
from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from hypothesis import HealthCheck, given, settings
from sqlalchemy import Connection, Engine, delete, select

from service.domain.ledger.event import Draft
from service.domain.terms import RoleId, Serial
from service.store.engine import reading, writing
from service.store.rebuild import rebuild
from service.store.tables import VACANCIES
from service.store.vacancies import Vacancy, vacancies
from tests.house.tree import ROOT
from tests.ledger.histories import histories
from tests.ledger.telling import AT_LAMP, draft, factory_set, fold, remove
from tests.store.ledgers import record, tell

MARKS = count()
EXAMPLES = settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
LEFT = {"role": "bumper", "place": "left", "policy": "free"}
RIGHT = {**LEFT, "place": "right"}


def standing(engine: Engine) -> list[tuple[str, ...]]:
    with reading(engine) as connection:
        return sorted(map(tuple, connection.execute(select(VACANCIES)).all()))


def waiting(connection: Connection, *roles: str, size: int = 100) -> list[Vacancy]:
    """All vacancies of some roles, page by page."""
    found: list[Vacancy] = []
    asked = [RoleId(role) for role in roles]
    while page := vacancies(connection, asked, found[-1] if found else None, size):
        found += page
    return found


@EXAMPLES
@given(history=histories())
def test_the_table_is_what_the_fold_says(engine: Engine, history: list[Draft]) -> None:
    mark = f"-{next(MARKS)}"
    units = fold(record(engine, history, mark)).units
    expected = {
        (role, unit, place)
        for unit, state in units.items()
        if state.record.registered and state.record.in_service
        for role, place in state.record.emptied
    }
    assert {row for row in standing(engine) if row[1].endswith(mark)} == expected


@settings(EXAMPLES, max_examples=8)
@given(history=histories())
def test_made_anew_it_is_what_stood(engine: Engine, history: list[Draft]) -> None:
    record(engine, history, f"-{next(MARKS)}")
    before = standing(engine)
    with writing(engine) as connection:
        rebuild(connection, chunk=3)
    assert standing(engine) == before


def migration() -> ModuleType:
    spec = importlib.util.spec_from_file_location("stock", ROOT / "migrations/versions/0006_stock.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def a_workshop() -> Sequence[Draft]:
    """Three units: one waits for a lamp and both bumper boards, one for a main board, one is no more."""
    return (
        factory_set("U1", "M1", "P1"),
        remove("L1", "U1", **AT_LAMP),
        remove("B1", "U1", **LEFT),
        remove("B2", "U1", **RIGHT),
        factory_set("U2", "M2", "P2"),
        remove("M2", "U2"),
        factory_set("U3", "M3", "P3"),
        remove("M3", "U3"),
        draft("dismantled", unit="U3"),
    )


def test_a_ledger_that_was_there_before_the_table_is_filled_in(engine: Engine) -> None:
    tell(engine, *a_workshop())
    before = standing(engine)
    assert len(before) == 4
    with writing(engine) as connection:
        connection.execute(delete(VACANCIES))
        with Operations.context(MigrationContext.configure(connection)):
            migration()._fill()  # noqa: SLF001 - a migration has no other door
    assert standing(engine) == before


@pytest.mark.parametrize("size", [1, 2, 100])
def test_they_are_listed_by_role_unit_and_place(engine: Engine, size: int) -> None:
    tell(engine, *a_workshop())
    left, right = (Vacancy(RoleId("bumper"), Serial("U1"), name) for name in ("left", "right"))
    lamp, main = Vacancy(RoleId("lamp"), Serial("U1")), Vacancy(RoleId("main"), Serial("U2"))
    with reading(engine) as connection:
        assert waiting(connection, "bumper", size=size) == [left, right]
        assert waiting(connection, "main", "lamp", "bumper", size=size) == [left, right, lamp, main]
        assert waiting(connection, "radio", size=size) == []


def test_a_unit_that_gets_its_board_or_ends_waits_no_more(engine: Engine) -> None:
    tell(engine, *a_workshop())
    tell(engine, draft("fitted", board="B9", unit="U1", **LEFT), draft("scrapped", unit="U2"))
    assert standing(engine) == [("bumper", "U1", "right"), ("lamp", "U1", "")]
