"""A sound ledger is found sound, and every fault that somebody could make is found and named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import Engine, text

from service.demo.making import fill
from service.papers.canonical import revision_of
from service.store.engine import reading, snapshot, writing
from service.store.guards import guards
from service.store.revisions import publish
from service.store.sale_checks import keep_check
from service.store.tables import WRITE_ONCE
from service.store.verifying import size, verified
from tests.ledger.telling import draft, remove
from tests.store.ledgers import a_day_at_the_bench, state_tables, tell
from tests.store.test_write_once import A_CHECK, contents


def faults(engine: Engine) -> list[str]:
    with snapshot(engine) as connection:
        return list(verified(connection))


@pytest.fixture
def kept(engine: Engine) -> Engine:
    """Rows in the tables that are looked at, with a correction, a vacancy and a sale check."""
    return keep(engine)


def keep(engine: Engine) -> Engine:
    a_day_at_the_bench(engine)
    (asked,) = tell(engine, draft("sale_checked", board="B1", check=A_CHECK.id))
    tell(engine, remove("P1"))
    with writing(engine) as connection:
        publish(connection, "papers", revision_of("papers"))
        keep_check(connection, replace(A_CHECK, seq=asked.seq))
    return engine


def test_a_sound_ledger_has_no_fault_and_is_left_as_it_is(kept: Engine) -> None:
    before = contents(kept), state_tables(kept)
    assert before[1]["vacancies"]
    assert faults(kept) == []
    assert (contents(kept), state_tables(kept)) == before


def test_the_demo_is_sound_and_all_of_it_is_looked_at(engine: Engine) -> None:
    fill(engine)
    looked: list[int] = []
    with snapshot(engine) as connection:
        there = size(connection)
        assert list(verified(connection, looked.append)) == []
    assert looked == sorted(looked)
    assert looked[-1] == there.length == sum(there) > 0


def test_an_empty_ledger_is_sound(engine: Engine) -> None:
    assert faults(engine) == []


def test_of_every_trigger_it_is_known_whether_it_is_there(engine: Engine) -> None:
    """The list is that of the migrations, on either database, and each permanent table has some."""
    asked = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }[engine.dialect.name]
    with reading(engine) as connection:
        made = connection.execute(text(asked)).scalars().all()
    assert sorted(made) == sorted(guards(engine.dialect.name))
    assert all(any(name.startswith(table.name) for name in made) for table in WRITE_ONCE)


TAMPERED = {
    "event 4 stands where 3 should": "DELETE FROM events WHERE seq = 3",
    "event 4 was recorded before event 3": "UPDATE events SET recorded_at = '2001-01-01 00:00' WHERE seq = 4",
    "event 9 says that it withdraws 5, and its row 4": "UPDATE events SET withdraws = 4 WHERE seq = 9",
    "event 2 cannot be read: received": "UPDATE events SET data = '[]' WHERE seq = 2",
    "event 2 cannot be read: made_up": "UPDATE events SET kind = 'made_up' WHERE seq = 2",
    "a row cannot be read, and what follows was not looked at: Expect": "UPDATE events SET data = '{'",
    "a row cannot be read, and what follows was": "UPDATE events SET recorded_at = 'now'",
    "event 2 speaks of others than are kept: board B9": (
        """UPDATE events SET data = '{"board": "B9"}' WHERE seq = 2"""
    ),
    "event 7 speaks of others than are kept": "DELETE FROM event_subjects WHERE seq = 7",
    "the versions of board B1 have gaps": "DELETE FROM event_subjects WHERE serial = 'B1' AND version = 1",
    "version 5 of board B1 is of an earlier event than": (
        "UPDATE event_subjects SET seq = 3 WHERE kind = 'board' AND serial = 'B1' AND version = 5"
    ),
    "the binding of board M1 changed without a corr": "INSERT INTO bindings VALUES ('M1', 2, 'wren-4', 1)",
    "board M1 is kept as bound by event 2, which": "UPDATE bindings SET seq = 2 WHERE board = 'M1'",
    "board M1 is kept as bound by event 1, which": "UPDATE bindings SET model = 'wren-9' WHERE board = 'M1'",
    "the binding of board M1 is not the first that its": "DELETE FROM bindings WHERE board = 'M1'",
    "the row B1 of boards is not what the events lead": "UPDATE boards SET version = 9 WHERE serial = 'B1'",
    "the row M1 of boards is missing": "DELETE FROM boards WHERE serial = 'M1'",
    "the row U1 of units is not what the events lead to": "UPDATE units SET model = NULL",
    "of vacancies is missing": "DELETE FROM vacancies",
    "vacancies has 1 rows of which no event speaks": "INSERT INTO vacancies VALUES ('main', 'U9', '')",
    "units has 1 rows of which no event speaks": (
        "INSERT INTO units (serial, version, registered, in_service, held) VALUES ('U9', 1, TRUE, TRUE, TRUE)"
    ),
    "the sale check sc-2 is not that of event 10": "UPDATE sale_checks SET id = 'sc-2'",
    "the sale check sc-1 is not that of event 9": "UPDATE sale_checks SET seq = 9",
    "the text of catalogue revision 1 is not that of": "UPDATE catalogue_revisions SET document = 'others'",
    "catalogue revision 2 stands where 1 should": "UPDATE catalogue_revisions SET number = 2",
    "a row of bindings refers to a row of events": "UPDATE bindings SET seq = 900 WHERE board = 'M1'",
}


@pytest.fixture
def open_to_all(sqlite_engine: Engine) -> Engine:
    """A ledger whose database has forgotten to guard it, and that is sound so far."""
    with keep(sqlite_engine).connect() as connection:
        connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
        for name in guards("sqlite"):
            connection.exec_driver_sql(f"DROP TRIGGER {name}")
    assert faults(sqlite_engine) == [
        f"the trigger {name} is missing or not in force" for name in sorted(guards("sqlite"))
    ]
    return sqlite_engine


@pytest.mark.parametrize("fault", TAMPERED)
def test_what_was_tampered_with_is_found(open_to_all: Engine, fault: str) -> None:
    with open_to_all.connect() as connection:
        connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
        connection.exec_driver_sql(TAMPERED[fault])
    found = faults(open_to_all)
    assert any(fault in each for each in found), found


@pytest.mark.parametrize(
    "statement",
    [
        "ALTER TABLE events DISABLE TRIGGER events_refuse_change",
        "ALTER TABLE events ENABLE TRIGGER events_refuse_change",
        "DROP TRIGGER events_refuse_change ON events",
    ],
)
def test_a_trigger_out_of_force_is_found(postgres_engine: Engine, statement: str) -> None:
    """ENABLE without ALWAYS leaves a way round it."""
    with writing(postgres_engine) as connection:
        connection.execute(text(statement))
    assert faults(postgres_engine) == ["the trigger events_refuse_change is missing or not in force"]


def test_a_damaged_file_is_found(sqlite_engine: Engine) -> None:
    keep(sqlite_engine)
    with sqlite_engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        page = connection.exec_driver_sql(
            "SELECT rootpage FROM sqlite_master WHERE name = 'ix_boards_in_unit'"
        ).scalar_one()
        size_of_page = connection.exec_driver_sql("PRAGMA page_size").scalar_one()
    sqlite_engine.dispose()
    with Path(str(sqlite_engine.url.database)).open("r+b") as file:
        file.seek((page - 1) * size_of_page + size_of_page - 40)
        file.write(b"\xff" * 40)
    found = faults(sqlite_engine)
    assert found
    assert all(fault.startswith("the file is damaged: ") for fault in found)


def test_others_may_write_meanwhile(engine: Engine) -> None:
    keep(engine)
    with snapshot(engine) as connection:
        going_on = verified(connection)
        count = size(connection).events
        tell(engine, draft("tested", board="B1", passed=True))
        assert list(going_on) == []
        assert size(connection).events == count
    assert faults(engine) == []
