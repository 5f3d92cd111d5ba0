"""Gathering equals the pure fold, now and at any moment, in one statement that scans no table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import timedelta
from itertools import count
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import CompoundSelect, Engine, event, insert, text

from service.domain.facts.records import Records
from service.domain.ledger.event import Draft, Event, SubjectKind
from service.domain.ledger.records import gathered
from service.domain.ledger.states import new_board, new_unit
from service.domain.terms import Serial
from service.store.among import bound_set
from service.store.append import append_many
from service.store.board_rows import board_row
from service.store.engine import reading, writing
from service.store.gather import gather, statement
from service.store.rebuild import rebuild
from service.store.tables import BOARDS, EVENTS, UNITS
from service.store.unit_rows import unit_row
from tests.ledger.histories import histories
from tests.ledger.telling import LONG_AGO, factory_set, fold
from tests.store.ledgers import RECEIVED, a_day_at_the_bench, record, state_tables, tell

NOBODY = Serial("nobody")
ROWS = 10_000
MARKS = count()
EXAMPLES = settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])

FEWER = settings(EXAMPLES, max_examples=12)
"""Where each example goes over all that the examples before it left."""


def new_mark() -> str:
    """Examples share a database, so each speaks of boards and units of its own."""
    return f"-{next(MARKS)}"


def serials(events: Sequence[Event]) -> tuple[list[Serial], list[Serial]]:
    subjects = sorted({subject for each in events for subject in each.subjects})
    boards = [subject.serial for subject in subjects if subject.kind is SubjectKind.BOARD]
    return boards, [subject.serial for subject in subjects if subject.kind is SubjectKind.UNIT]


def folded(
    events: Sequence[Event], boards: Sequence[Serial], units: Sequence[Serial], version: int
) -> Records:
    return gathered(fold(events), boards, units, version)


@EXAMPLES
@given(history=histories())
def test_gathering_equals_the_fold(engine: Engine, history: list[Draft]) -> None:
    events = record(engine, history, new_mark())
    boards, units = serials(events)
    with reading(engine) as connection:
        found = gather(connection, [*boards, NOBODY], [*units, NOBODY])
    assert found == gathered(fold(events), boards, units, found.ledger_version)
    assert not events or found.ledger_version >= events[-1].seq


@EXAMPLES
@given(history=histories(), data=st.data())
def test_a_part_is_as_in_the_whole(sqlite_engine: Engine, history: list[Draft], data: st.DataObject) -> None:
    events = record(sqlite_engine, history, new_mark())
    boards, units = serials(events)
    some_boards = data.draw(st.lists(st.sampled_from(boards or [NOBODY]), unique=True))
    some_units = data.draw(st.lists(st.sampled_from(units or [NOBODY]), unique=True))
    with reading(sqlite_engine) as connection:
        whole, part = gather(connection, boards, units), gather(connection, some_boards, some_units)
    assert part.boards == {serial: whole.boards[serial] for serial in some_boards if serial in whole.boards}
    assert part.units == {serial: whole.units[serial] for serial in some_units if serial in whole.units}


@EXAMPLES
@given(history=histories(), data=st.data())
def test_the_past_is_the_fold_of_what_was_recorded_until_then(
    engine: Engine, history: list[Draft], data: st.DataObject
) -> None:
    events = record(engine, history, new_mark())
    boards, units = serials(events)
    moment = data.draw(st.sampled_from(events)).recorded_at if events else None
    if moment is None:
        return
    until = [each for each in events if each.recorded_at <= moment]
    with reading(engine) as connection:
        found = gather(connection, boards, units, moment)
    assert found == gathered(fold(until), boards, units, found.ledger_version)
    assert found.ledger_version >= until[-1].seq


@EXAMPLES
@given(history=histories())
def test_the_past_of_units_alone_brings_the_boards_that_sat_in_them(
    sqlite_engine: Engine, history: list[Draft]
) -> None:
    events = record(sqlite_engine, history, new_mark())
    boards, units = serials(events)
    for moment in {each.recorded_at for each in events[len(events) // 2 :][:1]}:
        until = [each for each in events if each.recorded_at <= moment]
        with reading(sqlite_engine) as connection:
            of_units = gather(connection, [], units, moment)
            of_boards = gather(connection, boards, [], moment)
        assert of_units == gathered(fold(until), [], units, of_units.ledger_version)
        assert of_boards == gathered(fold(until), boards, [], of_boards.ledger_version)


def test_holder_and_donor_are_looked_up_now_and_then(engine: Engine) -> None:
    events = a_day_at_the_bench(engine)
    removed = Serial("M1")
    with reading(engine) as connection:
        for moment in (None, events[-1].recorded_at):
            board = gather(connection, [removed], [], moment).boards[removed]
            assert (board.held_serial, board.holder_in_service) == ("U1", True)
            assert (board.donor, board.donor_held) == ("U1", True)


def test_before_the_first_event_nothing_is_known(engine: Engine) -> None:
    events = a_day_at_the_bench(engine)
    with reading(engine) as connection:
        found = gather(connection, *serials(events), events[0].recorded_at - timedelta(seconds=1))
    assert found == Records(boards={}, units={}, ledger_version=0)


@FEWER
@given(history=histories())
def test_state_tables_made_anew_equal_what_stands(engine: Engine, history: list[Draft]) -> None:
    record(engine, history, new_mark())
    before = state_tables(engine)
    with writing(engine) as connection:
        rebuild(connection, chunk=3)
    assert state_tables(engine) == before


def test_making_anew_mends_a_damaged_cache(engine: Engine) -> None:
    a_day_at_the_bench(engine)
    before = state_tables(engine)
    with writing(engine) as connection:
        connection.execute(text("UPDATE boards SET part = 'nonsense', rest = NULL"))
        connection.execute(text("DELETE FROM units"))
    with writing(engine) as connection:
        rebuild(connection)
    assert state_tables(engine) == before


def test_an_empty_ledger_and_an_empty_question(engine: Engine) -> None:
    with reading(engine) as connection:
        assert gather(connection, [], []) == Records(boards={}, units={}, ledger_version=0)
        tell(engine, RECEIVED)
        assert gather(connection, [], []) == Records(boards={}, units={}, ledger_version=1)


@contextmanager
def counted(engine: Engine) -> Iterator[list[str]]:
    """The statements that are sent meanwhile."""
    sent: list[str] = []

    def note(*arguments: object) -> None:
        sent.append(str(arguments[2]))

    event.listen(engine, "before_cursor_execute", note)
    yield sent
    event.remove(engine, "before_cursor_execute", note)


@pytest.mark.parametrize("number", [1, 1_000])
def test_one_statement_however_many_serials(engine: Engine, number: int) -> None:
    sets = [factory_set(f"U{at}", f"M{at}", f"P{at}") for at in range(number)]
    append_many(engine, sets)
    boards = [Serial(f"M{at}") for at in range(number)]
    units = [Serial(f"U{at}") for at in range(number)]
    with reading(engine) as connection, counted(engine) as sent:
        found = gather(connection, boards, units)
    assert len(sent) == 1
    assert (len(found.boards), len(found.units)) == (number, number)
    assert all(len(each.boards) == 2 for each in found.units.values())


def filled(engine: Engine) -> None:
    """So many rows that going through a table is dearer than its index, and the planner told of them.

    They go into the tables past `append`: what they say is no matter to a plan.
    """
    told = {"kind": "tested", "occurred_at": LONG_AGO, "recorded_at": LONG_AGO, "data": {}}
    boards = [board_row(new_board(Serial(f"B{at}"))) for at in range(ROWS)]
    units = [unit_row(new_unit(Serial(f"U{at}"))) for at in range(ROWS)]
    fitted = [{**row, "in_unit": f"U{at // 5}", "donor": f"U{at}"} for at, row in enumerate(boards)]
    with writing(engine) as connection:
        connection.execute(insert(EVENTS), [{"seq": seq, **told} for seq in range(1, 2_000)])
        connection.execute(insert(BOARDS), fitted)
        connection.execute(insert(UNITS), units)
        connection.execute(text("ANALYZE"))


def test_on_sqlite_the_plan_searches_and_scans_no_table(sqlite_engine: Engine) -> None:
    filled(sqlite_engine)
    searches(sqlite_engine, statement("sqlite"), bound_set(["B1"], "sqlite"), bound_set(["U1"], "sqlite"))
    searches(sqlite_engine, statement("sqlite", one_board=True, one_unit=True), "B1", "U1")


def searches(sqlite_engine: Engine, asked: CompoundSelect[Any], boards: object, units: object) -> None:
    compiled = asked.compile(sqlite_engine)
    bound = {"boards": boards, "units": units}
    values = tuple(bound[name] for name in compiled.positiontup or ())
    with reading(sqlite_engine) as connection:
        plan = [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {compiled}", values)]
    assert [line for line in plan if line.startswith("SCAN") and "VIRTUAL TABLE" not in line] == []
    for table, index in (
        ("boards", "PRIMARY KEY"),
        ("boards", "INDEX ix_boards_in_unit"),
        ("units", "PRIMARY KEY"),
    ):
        assert [line for line in plan if line.startswith(f"SEARCH {table} USING {index}")]


def test_on_postgresql_the_plan_uses_indexes(postgres_engine: Engine) -> None:
    filled(postgres_engine)
    one = statement("postgresql", one_board=True, one_unit=True)
    for asked, boards, units in ((statement("postgresql"), ["B1"], ["U1"]), (one, "B1", "U1")):
        compiled = asked.compile(postgres_engine)
        with reading(postgres_engine) as connection:
            bound = {"boards": boards, "units": units}
            explained = connection.exec_driver_sql(f"EXPLAIN {compiled}", bound)
            plan = [row[0] for row in explained]
        assert [line for line in plan if "Seq Scan" in line] == []
        assert [line for line in plan if "Index" in line]


def test_boards_are_listed_in_one_order_wherever_the_rows_lie(engine: Engine) -> None:
    """PostgreSQL gives rows as they lie, and a row that is brought up to date moves to the end."""
    unit = Serial("U1")
    append_many(engine, [factory_set(unit)])

    def listed() -> list[Serial]:
        with reading(engine) as connection:
            return [board.serial for board in gather(connection, [], [unit]).units[unit].boards.values()]

    first = listed()
    with writing(engine) as connection:
        connection.execute(
            text("UPDATE boards SET version = version WHERE serial = :first"), {"first": first[0]}
        )
    assert len(first) > 1
    assert listed() == first
