"""What each connection is set to, and how transactions begin."""

from __future__ import annotations

import socket
import sqlite3
from contextlib import closing
from typing import Any

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from service.store import engine as engine_module
from service.store import postgresql
from service.store.away import is_away
from service.store.engine import (
    LOCK_TIMEOUT_MS,
    open_engine,
    reading,
    snapshot,
    writing,
)
from service.store.postgresql import STATEMENT_TIMEOUT_MS, VANISHED
from tests.store.ledgers import RECEIVED, tell

COUNT = text("SELECT count(*) FROM events")


@pytest.mark.parametrize(
    ("pragma", "expected"),
    [
        ("journal_mode", "wal"),
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("recursive_triggers", 1),
        ("busy_timeout", LOCK_TIMEOUT_MS),
    ],
)
def test_sqlite_is_set_up(sqlite_engine: Engine, pragma: str, expected: object) -> None:
    with reading(sqlite_engine) as connection:
        assert connection.execute(text(f"PRAGMA {pragma}")).scalar_one() == expected


@pytest.mark.parametrize(
    ("setting", "expected"),
    [
        ("statement_timeout", f"{STATEMENT_TIMEOUT_MS // 1000}s"),
        ("lock_timeout", f"{LOCK_TIMEOUT_MS // 1000}s"),
        ("timezone", "UTC"),
    ],
)
def test_postgresql_is_set_up(postgres_engine: Engine, setting: str, expected: str) -> None:
    with reading(postgres_engine) as connection:
        assert connection.execute(text(f"SHOW {setting}")).scalar_one() == expected


def test_other_databases_are_refused() -> None:
    with pytest.raises(ValueError, match="sqlite or postgresql"):
        open_engine("mysql://somewhere/else")


@pytest.mark.parametrize("url", ["postgresql://h/n", "postgresql+psycopg2://h/n", "postgresql+psycopg://h/n"])
def test_postgresql_is_spoken_to_by_one_driver(url: str) -> None:
    assert open_engine(url).driver == "psycopg"


def test_a_snapshot_sees_one_moment_and_single_reads_see_the_newest(engine: Engine) -> None:
    with snapshot(engine) as held, reading(engine) as single:
        assert held.execute(COUNT).scalar_one() == single.execute(COUNT).scalar_one() == 0
        tell(engine, RECEIVED)
        assert held.execute(COUNT).scalar_one() == 0
        assert single.execute(COUNT).scalar_one() == 1


def test_a_reader_does_not_keep_a_writer_waiting(engine: Engine) -> None:
    with snapshot(engine) as held:
        held.execute(COUNT)
        tell(engine, RECEIVED, RECEIVED)
    with reading(engine) as connection:
        assert connection.execute(COUNT).scalar_one() == 2


def test_sqlite_writers_take_the_lock_at_once(sqlite_engine: Engine) -> None:
    """The second writer waits before its first statement, so it never reads what it cannot write upon."""
    other = sqlite3.connect(str(sqlite_engine.url.database), timeout=0)
    with closing(other), writing(sqlite_engine), pytest.raises(sqlite3.OperationalError, match="locked"):
        other.execute("BEGIN IMMEDIATE")


def test_a_writer_that_waits_too_long_is_told(sqlite_engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine_module, "LOCK_TIMEOUT_MS", 1)
    second = writing(sqlite_engine)
    with writing(sqlite_engine), pytest.raises(OperationalError, match="too long"):
        second.__enter__()
    tell(sqlite_engine, RECEIVED)


def test_a_writer_leaves_its_connection_as_patient_as_it_was(sqlite_engine: Engine) -> None:
    tell(sqlite_engine, RECEIVED)
    with reading(sqlite_engine) as connection:
        assert connection.execute(text("PRAGMA busy_timeout")).scalar_one() == LOCK_TIMEOUT_MS


def test_a_host_that_vanishes_is_given_up_in_time(postgres_engine: Engine) -> None:
    with reading(postgres_engine) as connection:
        driver: Any = connection.connection.dbapi_connection
        asked = driver.info.get_parameters()
    assert {name: int(asked[name]) for name in VANISHED} == VANISHED


def test_a_database_that_lets_nobody_in_is_given_up_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its system takes the connection, and nobody there says a word."""
    monkeypatch.setattr(postgresql, "CONNECT_SECONDS", 2)  # libpq takes no less
    with closing(socket.create_server(("127.0.0.1", 0))) as silent:
        silent_engine = open_engine(f"postgresql://boardfit@127.0.0.1:{silent.getsockname()[1]}/boardfit")
        with pytest.raises(OperationalError) as fault, reading(silent_engine):
            pass
    assert is_away(fault.value)
