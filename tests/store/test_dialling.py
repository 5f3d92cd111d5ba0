"""Nobody waits without end for a PostgreSQL that says nothing, and while it is away few try."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Barrier, Event

import psycopg
import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from service.store import dialling as dialling_module
from service.store.away import is_away
from service.store.dialling import HOLD_SECONDS, Dialling
from service.store.engine import reading, snapshot, unhurried
from service.store.reader import Reader

SHORT = 0.3
SLACK = 10.0
"""Seconds that a busy machine may take on top; a wait without end is longer."""


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def fails() -> str:
    raise psycopg.OperationalError("no route")


def refused(dialling: Dialling) -> bool:
    """Whether it refuses to try."""
    tried = Event()
    try:
        dialling.connect(tried.set)
    except psycopg.OperationalError:
        return True
    return not tried.is_set()


def test_as_long_as_it_answers_everybody_may_try() -> None:
    dialling, meet = Dialling(), Barrier(3, timeout=SLACK)
    with ThreadPoolExecutor(3) as pool:
        made = [pool.submit(dialling.connect, meet.wait) for _ in range(3)]
        assert sorted(each.result() for each in made) == [0, 1, 2]


def test_after_a_failure_nobody_tries_for_a_moment_and_then_it_is_as_before() -> None:
    clock = Clock()
    dialling = Dialling(clock)
    with pytest.raises(psycopg.OperationalError, match="no route"):
        dialling.connect(fails)
    assert refused(dialling)
    clock.now += HOLD_SECONDS
    assert dialling.connect(lambda: "made") == "made"
    assert not refused(dialling)


def test_while_it_is_away_one_tries_at_a_time() -> None:
    clock = Clock()
    dialling = Dialling(clock)
    with pytest.raises(psycopg.OperationalError):
        dialling.connect(fails)
    clock.now += HOLD_SECONDS

    def try_slowly() -> None:
        assert refused(dialling)
        clock.now += 5
        fails()

    with pytest.raises(psycopg.OperationalError, match="no route"):
        dialling.connect(try_slowly)
    assert refused(dialling)
    clock.now += HOLD_SECONDS
    assert not refused(dialling)


def test_a_server_that_says_nothing_is_given_up(
    postgres_engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dialling_module, "SILENCE_SECONDS", SHORT)
    began = time.monotonic()
    with pytest.raises(OperationalError) as away, reading(postgres_engine) as connection:
        connection.execute(text("SELECT pg_sleep(5)"))
    assert SHORT <= time.monotonic() - began < SHORT + SLACK
    assert is_away(away.value)
    assert away.value.connection_invalidated
    with reading(postgres_engine) as connection:
        assert connection.execute(text("SELECT 1")).scalar_one() == 1


def test_a_command_waits_for_what_takes_long_and_nobody_after_it(
    postgres_engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dialling_module, "SILENCE_SECONDS", SHORT)
    slowly, limit = text(f"SELECT pg_sleep({2 * SHORT})"), text("SHOW statement_timeout")
    with snapshot(postgres_engine) as connection:
        with unhurried(connection):
            assert connection.execute(limit).scalar_one() == "0"
            connection.execute(slowly)
        with pytest.raises(OperationalError):
            connection.execute(slowly)
    with reading(postgres_engine) as connection:
        assert connection.execute(limit).scalar_one() == "10s"


def test_a_reader_asks_another_process_of_the_server_where_its_own_says_nothing(
    postgres_engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(dialling_module, "SILENCE_SECONDS", SHORT)
    reader = Reader(postgres_engine)
    asked = text("SELECT pg_backend_pid()")
    silent = reader.read(lambda connection: connection.execute(asked).scalar_one())
    with stopped(silent):
        assert reader.read(lambda connection: connection.execute(asked).scalar_one()) != silent
    reader.close()


@contextmanager
def stopped(pid: int) -> Iterator[None]:
    """A process of the server that stands still, as one whose disk does."""
    try:
        os.kill(pid, signal.SIGSTOP)
    except PermissionError:
        pytest.skip("the server's processes are another user's")
    try:
        yield
    finally:
        os.kill(pid, signal.SIGCONT)
