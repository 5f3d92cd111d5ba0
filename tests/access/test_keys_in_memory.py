"""The keys in memory follow the database by one small statement every few seconds, and outlive it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from threading import Event, Thread
from typing import Any

import pytest
from sqlalchemy import Engine, event
from sqlalchemy.exc import OperationalError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from service.api.calling import EXTENSION
from service.demo import serials as s
from service.settings import Settings
from service.store.keyring import Keyring
from service.store.keys import Key, all_keys, state
from service.store.reader import Reader
from service.usecases.caller import Scope
from service.usecases.keys import make_key, revoke_key
from service.wiring import app_on
from tests.api.problem_shape import problem_of
from tests.support.keys import bearer, without_key


@dataclass
class Clock:
    now: float = 100.0

    def __call__(self) -> float:
        return self.now


@dataclass
class Statements:
    seen: list[str] = field(default_factory=list)

    def take(self) -> list[str]:
        taken, self.seen = self.seen, []
        return taken


@pytest.fixture
def statements(engine: Engine) -> Iterator[Statements]:
    found = Statements()

    def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        found.seen.append(statement)

    event.listen(engine, "before_cursor_execute", note)
    yield found
    event.remove(engine, "before_cursor_execute", note)


@pytest.fixture
def reader(engine: Engine) -> Iterator[Reader]:
    made = Reader(engine)
    yield made
    made.close()


def as_it_is(key: Key) -> Key:
    return key


def a_key(engine: Engine) -> Key:
    return make_key(engine, owner="x", scopes={Scope.ASK})[1]


def test_one_statement_in_a_while_and_all_keys_only_after_a_change(
    engine: Engine, reader: Reader, statements: Statements
) -> None:
    clock = Clock()
    ring = Keyring(reader, as_it_is, 2, clock)
    first = a_key(engine)
    statements.take()
    assert ring.get(first.id) == first
    assert len(statements.take()) == 2
    for _ in range(50):
        assert ring.get(first.id) == first
        assert ring.get("nowhere2") is None
    assert statements.take() == []
    clock.now += 2
    assert ring.get(first.id) == first
    (looked,) = statements.take()
    assert "digest" not in looked


def test_a_new_and_an_ended_key_are_noticed_in_time(engine: Engine, reader: Reader) -> None:
    clock = Clock()
    ring = Keyring(reader, as_it_is, 2, clock)
    first = a_key(engine)
    assert ring.get(first.id) == first
    second, ended = a_key(engine), revoke_key(engine, first.id)
    clock.now += 1.9
    assert (ring.get(first.id), ring.get(second.id)) == (first, None)
    clock.now += 0.1
    assert (ring.get(first.id), ring.get(second.id)) == (ended, second)


FAULTS = [OperationalError("SELECT", {}, Exception("away")), NoConnectionFree("none free")]


class Faulty:
    """A reader whose database comes and goes."""

    def __init__(self, key: Key) -> None:
        self.fault: Exception | None = None
        self.key = key
        self.asked = 0

    def read(self, work: Any) -> Any:
        self.asked += 1
        if self.fault is not None:
            raise self.fault
        assert work in (state, all_keys)
        return (1, 1) if work is state else (self.key,)


@pytest.fixture
def away(sqlite_engine: Engine) -> Faulty:
    return Faulty(a_key(sqlite_engine))


@pytest.mark.parametrize("fault", FAULTS)
def test_keys_in_memory_go_on_while_the_database_is_away(
    away: Faulty, fault: Exception, caplog: pytest.LogCaptureFixture
) -> None:
    clock = Clock()
    ring: Keyring[Key] = Keyring(away, as_it_is, 2, clock)  # type: ignore[arg-type] # it reads all that is asked for
    assert ring.get(away.key.id) == away.key
    away.fault, away.asked = fault, 0
    clock.now += 2
    for _ in range(10):
        assert ring.get(away.key.id) == away.key
    assert away.asked == 1, "it is not asked again before its time"
    assert "those in memory stand" in caplog.text
    away.fault = None
    clock.now += 2
    assert ring.get(away.key.id) == away.key


@pytest.mark.parametrize("fault", FAULTS)
def test_who_was_never_let_in_is_told_that_the_store_is_away(away: Faulty, fault: Exception) -> None:
    ring: Keyring[Key] = Keyring(away, as_it_is, 2, Clock())  # type: ignore[arg-type] # the same
    away.fault = fault
    for _ in range(3):
        with pytest.raises(type(fault)):
            ring.get(away.key.id)
    away.fault = None
    assert ring.get(away.key.id) == away.key


def test_nobody_waits_for_a_slow_look(away: Faulty) -> None:
    clock = Clock()
    reached, go_on = Event(), Event()

    class Slow(Faulty):
        def read(self, work: Any) -> Any:
            if self.asked >= 2:
                reached.set()
                assert go_on.wait(30)
            return super().read(work)

    slow = Slow(away.key)
    ring: Keyring[Key] = Keyring(slow, as_it_is, 2, clock)  # type: ignore[arg-type] # the same
    assert ring.get(slow.key.id) == slow.key
    clock.now += 2
    looking = Thread(target=ring.get, args=(slow.key.id,))
    looking.start()
    assert reached.wait(30)
    assert ring.get(slow.key.id) == slow.key, "while another thread looks"
    go_on.set()
    looking.join()


def test_while_the_database_is_away_a_key_is_not_called_wrong(
    world: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the catalogue in memory answers is answered; what the ledger is needed for is a 503."""
    key = bearer(make_key(world, owner="x", scopes={Scope.ASK})[0].written())
    app = app_on(world, Settings(key_check_seconds=0, catalogue_check_seconds=60))
    client, reader = without_key(app), app.extensions[EXTENSION].reader
    of_catalogue, of_ledger = "/v1/models/wren-4", f"/v1/boards/{s.USED_MAIN_60}"
    assert [client.get(target, headers=key).status_code for target in (of_catalogue, of_ledger)] == [200, 200]

    def away(work: Any) -> Any:  # noqa: ARG001 - the reader's signature
        raise OperationalError("SELECT", {}, Exception("away"))

    with monkeypatch.context() as patched:
        patched.setattr(reader, "read", away)
        assert client.get(of_catalogue, headers=key).status_code == 200
        response = client.get(of_ledger, headers=key)
        assert (response.status_code, problem_of(response)["code"]) == (503, "store_unavailable")
        assert client.get(of_catalogue, headers=bearer("wrong")).status_code == 401
    assert client.get(of_ledger, headers=key).status_code == 200
    reader.close()
