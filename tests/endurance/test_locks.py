"""Whoever waits for the write lock is told in time, and whoever holds it cannot hold up the rest for ever."""

from __future__ import annotations

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from threading import Event

import pytest
from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError, OperationalError

from service.store import engine as engine_module
from service.store import lock as lock_module
from service.store.append import append
from service.store.away import is_away
from service.store.engine import reading, writing
from service.store.ledger import events_after, last_number
from tests.endurance import soundness
from tests.endurance.asking import event
from tests.endurance.counting import Report
from tests.endurance.holding import Other, another, receive, stay, write_twenty
from tests.endurance.serving import a_shop, in_this_process
from tests.ledger.telling import draft
from tests.support.databases import opened

WAITERS = 3
SHORT_MS = 400
FAIR = 2.0
"""Seconds that nobody waits for a turn where each takes milliseconds, however busy the machine."""
SLACK = 10.0
"""Seconds that a busy machine may take on top; a wait without end is longer."""
RECEIVED = {"events": [event("received", board="LATE", part="MN-4100", binding="blank")]}
REPEATABLE = {"Idempotency-Key": "late-0001"}


@pytest.fixture
def short(monkeypatch: pytest.MonkeyPatch, database_url: str) -> Iterator[Engine]:
    """A database whose writers lose patience soon."""
    monkeypatch.setattr(engine_module, "LOCK_TIMEOUT_MS", SHORT_MS)
    with opened(database_url) as engine:
        yield engine


@pytest.fixture
def holder(short: Engine) -> Iterator[Other]:
    """Another process in the middle of a write."""
    with another(stay, short.url.render_as_string(hide_password=False)) as process:
        assert process.says() == "holding"
        yield process


def wait_in_vain(engine: Engine) -> float:
    """Seconds until a writer was told that it waited too long."""
    began = time.monotonic()
    with pytest.raises(OperationalError):
        receive(engine, "LATE")
    return time.monotonic() - began


def boards(engine: Engine) -> list[str]:
    with reading(engine) as connection:
        return [each.data.get("board", "") for each in events_after(connection, 0)]


def test_all_who_wait_too_long_are_told_in_time_and_reading_goes_on(
    short: Engine, holder: Other, report: Report
) -> None:
    with ThreadPoolExecutor(WAITERS) as pool:
        waits = [pool.submit(wait_in_vain, short) for _ in range(WAITERS)]
        with reading(short) as connection:
            assert last_number(connection) == 0
        assert not any(wait.done() for wait in waits)
        longest = max(wait.result() for wait in waits)
    assert SHORT_MS / 1000 - 0.05 < longest < SHORT_MS / 1000 + SLACK
    holder.line.send("go on")
    assert holder.says() == "kept"
    assert receive(short, "NEXT") == 2
    assert boards(short) == ["HELD", "NEXT"]
    report(waiters=WAITERS, longest_wait=round(longest, 3))


def test_over_http_they_are_told_when_to_come_again(
    database_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_module, "LOCK_TIMEOUT_MS", SHORT_MS)
    with (
        a_shop(database_url) as engine,
        another(stay, database_url) as holder,
        in_this_process(engine) as client,
    ):
        assert holder.says() == "holding"
        late = client.post("/v1/events", json=RECEIVED, headers=REPEATABLE)
        assert (late.status_code, late.get_json()["code"]) == (503, "store_unavailable")
        assert int(late.headers["Retry-After"]) > 0
        assert client.get("/v1/events?after=0").status_code == 200
        holder.line.send("go on")
        assert holder.says() == "kept"
        again = client.post("/v1/events", json=RECEIVED, headers=REPEATABLE)
        assert (again.status_code, again.headers.get("Idempotency-Replayed")) == (201, None)
        assert boards(engine)[-2:] == ["HELD", "LATE"]


def test_a_writer_that_is_killed_in_the_middle_leaves_nothing_and_nobody_waits(
    short: Engine, holder: Other
) -> None:
    holder.process.kill()
    holder.process.join()
    assert receive(short, "NEXT") == 1
    assert boards(short) == ["NEXT"]
    assert soundness.faults(short) == []


def test_postgresql_ends_a_writer_that_stands_still(
    postgres_engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock_module, "IDLE_TIMEOUT_MS", SHORT_MS)
    with pytest.raises(DBAPIError) as ended, writing(postgres_engine) as connection:  # noqa: PT012 - one transaction
        append(connection, [draft("received", board="HELD", part="p-1")])
        assert receive(postgres_engine, "NEXT") == 1
    assert is_away(ended.value)
    assert boards(postgres_engine) == ["NEXT"]


def test_beside_busy_writers_of_another_process_nobody_starves(database_url: str, report: Report) -> None:
    enough = Event()
    with opened(database_url) as engine, ThreadPoolExecutor(WAITERS) as pool:
        try:
            busy = [pool.submit(write_on, engine, enough, f"B{writer}") for writer in range(WAITERS)]
            with another(write_twenty, database_url) as other:
                longest = other.says()
        finally:
            enough.set()
        ours = sum(writer.result() for writer in busy)
        told = boards(engine)
    assert len(told) == ours + 20
    assert float(longest) < FAIR
    report(of_the_busy=ours, of_the_other=20, longest_wait=round(float(longest), 3))


def write_on(engine: Engine, enough: Event, mark: str) -> int:
    """Append one event after the other until it is enough; how many."""
    for number in count():
        if enough.is_set():
            return number
        receive(engine, f"{mark}-{number}")
    raise AssertionError
