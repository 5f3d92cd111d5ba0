"""The database itself refuses to change, displace or drop what is permanent, whoever asks it to."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import Engine, func, insert, select, text
from sqlalchemy.exc import DatabaseError

from service.domain.terms import Serial
from service.store.engine import reading, writing
from service.store.imported import keep_marks, mark_of
from service.store.revisions import publish
from service.store.sale_checks import KeptCheck, keep_check
from service.store.tables import BINDINGS, METADATA, UNITS, WRITE_ONCE
from tests.ledger.telling import draft
from tests.store.ledgers import BIND, CORRECTED, a_day_at_the_bench, tell
from tests.support.databases import DATABASES, fresh, opened

TABLES = [table.name for table in WRITE_ONCE]
A_CHECK = KeptCheck(
    id="sc-1",
    owner="till",
    made_at=datetime(2026, 1, 5, 9, tzinfo=UTC),
    seq=1,
    as_of=None,
    board=Serial("B1"),
    unit=None,
    decision="sell",
    revision="r-1",
    ledger_version=1,
    question={},
    answer={},
    read_set={},
)


CHANGE = {"boards", "units", "vacancies", "repeats", "keys", "rate_counts"}
"""Tables that are a cache, are swept, or say what is so now."""


def test_of_every_table_it_is_known_whether_it_may_change() -> None:
    assert sorted(METADATA.tables) == sorted([*TABLES, *CHANGE])


def in_table(statement: str, table: str) -> str:
    """A statement on one of our tables; COLUMN is its last column, KEYS its primary key."""
    columns = METADATA.tables[table].columns.keys()
    keys = ", ".join(column.name for column in METADATA.tables[table].primary_key)
    return statement.replace("TABLE", table).replace("COLUMN", columns[-1]).replace("KEYS", keys)


def keep_something(engine: Engine) -> Engine:
    """A database with rows in every write-once table."""
    a_day_at_the_bench(engine)
    with writing(engine) as connection:
        publish(connection, "papers", "r-1")
        keep_marks(connection, {mark_of("boards", {"serial": "B1"}): 1})
        keep_check(connection, A_CHECK)
    return engine


@pytest.fixture(scope="module", params=DATABASES)
def kept(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """One database for all the refusals: if each is one, nothing ever changes in it."""
    with fresh(request, request.param, tmp_path_factory.mktemp("kept")) as url, opened(url) as engine:
        yield keep_something(engine)


@pytest.fixture(scope="module")
def kept_on_sqlite(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Engine]:
    with fresh(request, "sqlite", tmp_path_factory.mktemp("kept")) as url, opened(url) as engine:
        yield keep_something(engine)


@pytest.fixture(scope="module")
def kept_on_postgresql(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Engine]:
    with fresh(request, "postgresql", tmp_path_factory.mktemp("kept")) as url, opened(url) as engine:
        yield keep_something(engine)


def contents(engine: Engine) -> dict[str, list[Any]]:
    with reading(engine) as connection:
        return {table.name: list(connection.execute(select(table)).all()) for table in WRITE_ONCE}


def refused(engine: Engine, *statements: str) -> str:
    """The database's answer to statements that it must refuse, and that must have changed nothing."""
    before = contents(engine)
    with pytest.raises(DatabaseError) as refusal, writing(engine) as connection:  # noqa: PT012 - one transaction
        for statement in statements:
            connection.execute(text(statement))
    assert contents(engine) == before
    return str(refusal.value.orig)


def refused_bare(engine: Engine, statement: str, recursive: str = "OFF") -> None:
    """The same for a session of another program, without any of our settings."""
    before = contents(engine)
    with closing(sqlite3.connect(str(engine.url.database))) as bare:
        bare.execute(f"PRAGMA recursive_triggers={recursive}")
        with pytest.raises(sqlite3.IntegrityError, match=r"write-once|no gaps"):
            bare.execute(statement)
    assert contents(engine) == before


@pytest.mark.parametrize("table", TABLES)
def test_every_table_has_rows_to_lose(kept: Engine, table: str) -> None:
    assert contents(kept)[table]


CHANGES = [
    "UPDATE TABLE SET COLUMN = COLUMN",
    "UPDATE TABLE SET COLUMN = NULL",
    "DELETE FROM TABLE",
]


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("statement", CHANGES)
def test_changes_are_refused(kept: Engine, table: str, statement: str) -> None:
    assert "write-once" in refused(kept, in_table(statement, table))


@pytest.mark.parametrize("table", TABLES)
def test_updating_the_key_is_refused(kept: Engine, table: str) -> None:
    key = next(iter(METADATA.tables[table].primary_key)).name
    assert "write-once" in refused(kept, in_table("UPDATE TABLE SET KEY = KEY", table).replace("KEY", key))


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("cascade", ["", " CASCADE"])
def test_truncating_is_refused(kept_on_postgresql: Engine, table: str, cascade: str) -> None:
    answer = refused(kept_on_postgresql, in_table("TRUNCATE TABLE", table) + cascade)
    # Without CASCADE the events are held by the tables that refer to them before any trigger is asked.
    assert "write-once" in answer or "referenced in a foreign key" in answer


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("statement", CHANGES)
def test_a_session_that_plays_replica_is_refused_too(
    kept_on_postgresql: Engine, table: str, statement: str
) -> None:
    answer = refused(kept_on_postgresql, "SET session_replication_role = replica", in_table(statement, table))
    assert "write-once" in answer


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize("replacing", ["INSERT OR REPLACE", "REPLACE"])
def test_replacing_is_refused_whatever_the_session_is_set_to(
    kept_on_sqlite: Engine, table: str, recursive: str, replacing: str
) -> None:
    statement = in_table("INTO TABLE SELECT * FROM TABLE LIMIT 1", table)
    refused_bare(kept_on_sqlite, f"{replacing} {statement}", recursive)


DISPLACING = {
    "a new number for the same correction": """
        INSERT OR REPLACE INTO events SELECT seq + 1, kind, occurred_at, recorded_at, withdraws, data
        FROM events WHERE withdraws IS NOT NULL""",
    "another version of the same subject of an event": """
        INSERT OR REPLACE INTO event_subjects SELECT kind, serial, version + 100, seq FROM event_subjects""",
    "another number for the same catalogue": """
        INSERT OR REPLACE INTO catalogue_revisions SELECT number + 1, revision, document, published_at
        FROM catalogue_revisions""",
}


@pytest.mark.parametrize("statement", DISPLACING.values(), ids=DISPLACING.keys())
def test_displacing_by_another_key_is_refused(kept_on_sqlite: Engine, statement: str) -> None:
    refused_bare(kept_on_sqlite, statement)


@pytest.mark.parametrize("table", TABLES)
def test_upserting_is_refused(kept: Engine, table: str) -> None:
    # The WHERE keeps SQLite from reading ON as the beginning of a join.
    upsert = "INSERT INTO TABLE SELECT * FROM TABLE WHERE TRUE ON CONFLICT (KEYS) DO UPDATE SET COLUMN = NULL"
    answer = refused(kept, in_table(upsert, table))
    assert "write-once" in answer or "no gaps" in answer


def bind_again(engine: Engine, epoch: int, seq: int = 1) -> None:
    with writing(engine) as connection:
        connection.execute(insert(BINDINGS).values(board="B1", epoch=epoch, model="wren-4", seq=seq))


@pytest.mark.parametrize("epoch", [0, 1, 2, 3])
def test_a_second_binding_is_refused(engine: Engine, epoch: int) -> None:
    tell(engine, BIND)
    with pytest.raises(DatabaseError):
        bind_again(engine, epoch)


def test_a_corrected_binding_makes_way_for_the_next_epoch_and_no_other(engine: Engine) -> None:
    tell(engine, BIND, CORRECTED)
    for epoch in (1, 3):
        with pytest.raises(DatabaseError):
            bind_again(engine, epoch)
    bind_again(engine, 2, seq=2)
    with pytest.raises(DatabaseError, match="permanent"):
        bind_again(engine, 3)


def test_a_correction_of_another_event_makes_no_way(engine: Engine) -> None:
    tell(engine, BIND, BIND)
    tell(engine, draft("corrected", withdraws=2, reason="mistyped"))
    with pytest.raises(DatabaseError, match="permanent"):
        bind_again(engine, 2)


OUT_OF_TURN = """
    INSERT INTO events SELECT SEQ, kind, occurred_at, recorded_at, NULL, data
    FROM events WHERE seq = 1"""
CORRECTION = """
    INSERT INTO events SELECT 10, 'corrected', occurred_at, recorded_at, WITHDRAWS, data
    FROM events WHERE seq = 1"""


@pytest.mark.parametrize("seq", ["0", "1", "11", "-1"])
def test_a_number_out_of_turn_is_refused(kept: Engine, seq: str) -> None:
    refused(kept, OUT_OF_TURN.replace("SEQ", seq))


@pytest.mark.parametrize("withdraws", ["5", "10", "11", "NULL"])
def test_a_correction_refers_to_an_earlier_event_once(kept: Engine, withdraws: str) -> None:
    refused(kept, CORRECTION.replace("WITHDRAWS", withdraws))


def test_the_next_number_and_a_first_correction_are_taken(engine: Engine) -> None:
    """The same statements with right numbers pass, so it is the numbers that are refused above."""
    with writing(keep_something(engine)) as connection:
        connection.execute(text(CORRECTION.replace("WITHDRAWS", "1")))
        connection.execute(text(OUT_OF_TURN.replace("SEQ", "11")))


def test_the_state_tables_may_change(engine: Engine) -> None:
    with writing(keep_something(engine)) as connection:
        connection.execute(text("UPDATE boards SET version = version"))
        connection.execute(text("DELETE FROM units"))
        assert connection.execute(select(func.count()).select_from(UNITS)).scalar_one() == 0
