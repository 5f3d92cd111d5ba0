"""How often a key may be used: counted for each, told in every answer, shared on demand (OWASP API4).

The header fields are those of the IETF draft "RateLimit header fields for HTTP"; their grammar is RFC 9651's,
of which the one item that is used here is written down below.
"""

from __future__ import annotations

import gc
import re
import time
from collections.abc import Iterator
from dataclasses import dataclass
from threading import Thread
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from limits.errors import StorageError
from limits.storage import Storage
from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError
from werkzeug.test import TestResponse

from service.api.access import counts as counting_here
from service.api.access import rates as told
from service.api.access.counts import MemoryCounts
from service.api.access.rates import Rates
from service.settings import Settings
from service.store import rates as counting
from service.store.engine import open_engine, reading, writing
from service.store.rates import shared_counts
from service.store.reader import Reader
from service.usecases.caller import Scope
from service.wiring import app_on
from tests.api.problem_shape import problem_of
from tests.support.keys import a_key, bearer, without_key

POLICY = re.compile(r'"default";q=(\d+);w=60')
LIMIT = re.compile(r'"default";r=(\d+);t=(\d+)')
ADDRESS = "/v1/models/wren-4"
SHARED = Settings(key_check_seconds=0, rate_store="database")


@dataclass
class Clock:
    """Stands in for the module `time`."""

    now: float = 1_000_000.5
    put_back: float = 0.0
    """Seconds by which the clock on the wall was."""

    def time(self) -> float:
        return self.now - self.put_back

    def monotonic(self) -> float:
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    found = Clock()
    for module in (counting, counting_here, told):
        monkeypatch.setattr(module, "time", found)
    return found


def left(response: TestResponse) -> int:
    found = LIMIT.fullmatch(response.headers["RateLimit"])
    assert found is not None, response.headers["RateLimit"]
    assert 1 <= int(found[2]) <= 60
    return int(found[1])


def used_up(client: FlaskClient, key: str, times: int) -> None:
    for _ in range(times):
        assert client.get(ADDRESS, headers=bearer(key)).status_code == 200


def test_every_answer_tells_what_is_left(client: FlaskClient, shop_engine: Engine) -> None:
    key = a_key(shop_engine, rate=10)
    calls = [ADDRESS, f"{ADDRESS}?x=1", "/v1/models/none", "/v1/events?after=0", ADDRESS]
    statuses = [200, 422, 404, 403, 200]
    answers = [client.get(target, headers=bearer(key)) for target in calls]
    assert [answer.status_code for answer in answers] == statuses
    assert [left(answer) for answer in answers] == [9, 8, 7, 6, 5]
    assert {answer.headers["RateLimit-Policy"] for answer in answers} == {'"default";q=10;w=60'}
    assert all(POLICY.fullmatch(answer.headers["RateLimit-Policy"]) for answer in answers)
    assert not any(name.startswith("X-RateLimit") for answer in answers for name, _ in answer.headers)


def test_what_is_known_already_counts_too(client: FlaskClient, shop_engine: Engine) -> None:
    headers = bearer(a_key(shop_engine, rate=10))
    tag = client.get(ADDRESS, headers=headers).headers["ETag"]
    again = client.get(ADDRESS, headers={**headers, "If-None-Match": tag})
    assert (again.status_code, left(again)) == (304, 8)


def test_who_has_used_it_up_is_told_when_to_come_back(
    client: FlaskClient, shop_engine: Engine, clock: Clock
) -> None:
    key = a_key(shop_engine, rate=3)
    used_up(client, key, 3)
    clock.now += 40
    for _ in range(3):
        refused = client.get(ADDRESS, headers=bearer(key))
        problem = problem_of(refused)
        assert (refused.status_code, problem["code"]) == (429, "too_many_requests")
        assert refused.headers["Retry-After"] == "20"
        assert refused.headers["RateLimit"] == '"default";r=0;t=20'
        assert "3 requests a minute" in problem["detail"]
    clock.now += 20
    assert left(client.get(ADDRESS, headers=bearer(key))) == 2


def test_keys_are_counted_apart_also_those_of_one_owner(client: FlaskClient, shop_engine: Engine) -> None:
    one, other = (a_key(shop_engine, owner="till", rate=2) for _ in range(2))
    used_up(client, one, 2)
    assert client.get(ADDRESS, headers=bearer(one)).status_code == 429
    assert left(client.get(ADDRESS, headers=bearer(other))) == 1


def test_what_is_refused_for_its_key_counts_for_nobody(client: FlaskClient, shop_engine: Engine) -> None:
    key = a_key(shop_engine, rate=2)
    for wrong in (key[:-1], key.replace("bfk_", "bfk_a")):
        assert client.get(ADDRESS, headers=bearer(wrong)).status_code == 401
    assert left(client.get(ADDRESS, headers=bearer(key))) == 1


def test_the_rate_comes_before_the_body(client: FlaskClient, shop_engine: Engine) -> None:
    key = a_key(shop_engine, rate=1)
    used_up(client, key, 1)
    assert client.post("/v1/fit-checks", data=b"{", headers=bearer(key)).status_code == 429


@pytest.fixture
def two_processes(world_url: str) -> Iterator[tuple[Engine, list[FlaskClient], list[Flask]]]:
    """Two apps on one database, each with connections of its own."""
    engines = [open_engine(world_url) for _ in range(2)]
    apps = [app_on(engine, SHARED) for engine in engines]
    yield engines[0], [without_key(app) for app in apps], apps
    for app, engine in zip(apps, engines, strict=True):
        app.extensions["boardfit"].reader.close()
        engine.dispose()


Shared = tuple[Engine, list[FlaskClient], list[Flask]]


def test_processes_that_share_a_database_share_the_count(two_processes: Shared) -> None:
    engine, (one, other), _ = two_processes
    key = a_key(engine, rate=5)
    seen = [left(client.get(ADDRESS, headers=bearer(key))) for client in (one, other, one, other, other)]
    assert seen == [4, 3, 2, 1, 0]
    for client in (one, other):
        refused = client.get(ADDRESS, headers=bearer(key))
        assert (refused.status_code, left(refused)) == (429, 0)
        assert 1 <= int(refused.headers["Retry-After"]) <= 60


def test_a_shared_window_ends_for_all(two_processes: Shared) -> None:
    engine, (one, other), _ = two_processes
    key = a_key(engine, rate=1)
    used_up(one, key, 1)
    assert other.get(ADDRESS, headers=bearer(key)).status_code == 429
    with writing(engine) as connection:
        connection.execute(text("UPDATE rate_counts SET ends_at = ends_at - 60"))
    used_up(other, key, 1)
    assert one.get(ADDRESS, headers=bearer(key)).status_code == 429


def test_by_default_each_process_counts_for_itself(world: Engine) -> None:
    assert Settings().rate_store == "memory"
    apps = [app_on(world, Settings(key_check_seconds=0)) for _ in range(2)]
    key = a_key(world, rate=1)
    for app in apps:
        used_up(without_key(app), key, 1)
        app.extensions["boardfit"].reader.close()
    with reading(world) as connection:
        assert connection.execute(text("SELECT count(*) FROM rate_counts")).scalar_one() == 0


def test_counting_needs_one_statement(two_processes: Shared) -> None:
    engine, _, _ = two_processes
    seen: list[str] = []

    class Listening(Reader):
        def read(self, work: Any) -> Any:
            seen.append("one")
            return super().read(work)

    reader = Listening(engine)
    rates = Rates(counting.DatabaseCounts(reader, engine.dialect.name))
    for expected in (2, 1, 0, 0):
        counted = rates.count("aaaaaaaa", 3)
        assert counted is not None
        assert (counted.left, counted.within) == (expected, len(seen) <= 3)
    assert len(seen) == 4
    reader.close()


def test_on_postgresql_counts_are_kept_out_of_the_log(postgres_engine: Engine) -> None:
    with reading(postgres_engine) as connection:
        kind = text("SELECT relpersistence FROM pg_class WHERE relname = 'rate_counts'")
        assert connection.execute(kind).scalar_one() == "u"


def test_a_count_waits_for_no_long_writer(sqlite_engine: Engine, caplog: pytest.LogCaptureFixture) -> None:
    """An import writes for seconds on end; requests are let through meanwhile."""
    rates = Rates(shared_counts(sqlite_engine, Reader(sqlite_engine), 1))
    assert rates.count("aaaaaaaa", 5) is not None
    with writing(sqlite_engine):
        start = time.monotonic()
        assert rates.count("aaaaaaaa", 5) is None
        assert time.monotonic() - start < 2
    assert "a request was not counted: OperationalError" in caplog.text
    counted = rates.count("aaaaaaaa", 5)
    assert counted is not None
    assert counted.left == 3


def test_a_store_that_fails_lets_requests_through(world: Engine) -> None:
    """Who has a good key is served: a till that stands still costs more than a minute that nobody counts."""
    app = app_on(world, SHARED)
    client, key = without_key(app), a_key(world, rate=1)
    used_up(client, key, 1)
    assert client.get(ADDRESS, headers=bearer(key)).status_code == 429
    with writing(world) as connection:
        connection.execute(text("DROP TABLE rate_counts"))
    answer = client.get(ADDRESS, headers=bearer(key))
    assert answer.status_code == 200
    assert "RateLimit" not in answer.headers
    app.extensions["boardfit"].reader.close()


@pytest.fixture(params=["memory", "sqlite_engine", "postgres_engine"])
def storage(request: pytest.FixtureRequest) -> Iterator[Storage]:
    """Each of the storages."""
    if request.param == "memory":
        yield MemoryCounts()
        return
    engine: Engine = request.getfixturevalue(request.param)
    reader = Reader(engine)
    yield shared_counts(engine, reader, 8)
    reader.close()


def test_a_storage_does_what_the_library_asks_of_one(storage: Storage) -> None:
    """The library's own description of a storage: counts by key, each with the end of its window."""
    assert storage.check()
    assert storage.get("a") == 0
    assert storage.get_expiry("a") == pytest.approx(time.time(), abs=1)
    assert [storage.incr("a", 60), storage.incr("a", 60, amount=3), storage.incr("b", 60)] == [1, 4, 1]
    assert (storage.get("a"), storage.get("b")) == (4, 1)
    assert storage.get_expiry("a") == pytest.approx(time.time() + 60, abs=2)
    storage.clear("a")
    assert storage.get("a") == 0
    assert storage.incr("a", 60) == 1
    assert storage.reset() == 2
    assert storage.incr("b", 60) == 1


def test_a_window_in_memory_ends_to_the_moment(clock: Clock) -> None:
    storage = MemoryCounts()
    assert storage.incr("a", 60) == 1
    clock.now += 59.999
    assert storage.incr("a", 60) == 2
    clock.now += 0.001
    assert storage.get("a") == 0
    assert storage.incr("a", 60) == 1


def test_a_clock_that_is_put_back_keeps_nobody_waiting(clock: Clock) -> None:
    rates = Rates(MemoryCounts())
    assert [counted_within(rates) for _ in range(3)] == [True, True, False]
    clock.put_back = 86_400
    assert not counted_within(rates)
    clock.now += 60
    assert counted_within(rates)
    clock.put_back = -86_400
    assert [counted_within(rates) for _ in range(2)] == [True, False]


def counted_within(rates: Rates) -> bool:
    """Whether one more request of a key of two a minute is let through; the window is told sensibly."""
    counted = rates.count("aaaaaaaa", 2)
    assert counted is not None
    assert 1 <= counted.seconds <= 60
    return counted.within


def test_a_window_of_a_database_whose_clock_was_put_back_has_ended(engine: Engine) -> None:
    reader = Reader(engine)
    storage = shared_counts(engine, reader, 1)
    assert [storage.incr("a", 60), storage.incr("a", 60)] == [1, 2]
    with writing(engine) as connection:
        connection.execute(text("UPDATE rate_counts SET ends_at = ends_at + 86400"))
    assert [storage.incr("a", 60), storage.incr("a", 60)] == [1, 2]
    assert storage.get_expiry("a") == pytest.approx(time.time() + 60, abs=2)
    reader.close()


class Broken(MemoryCounts):
    def incr(self, key: str, expiry: float, amount: int = 1) -> int:  # noqa: ARG002 - the base class's signature
        raise OperationalError("UPSERT", {}, Exception("secret"))

    @property
    def base_exceptions(self) -> type[Exception] | tuple[type[Exception], ...]:
        return OperationalError


def test_what_failed_is_logged_without_its_insides(caplog: pytest.LogCaptureFixture) -> None:
    assert Rates(Broken()).count("aaaaaaaa", 1) is None
    assert "not counted: OperationalError" in caplog.text
    assert "secret" not in caplog.text


def test_a_scope_that_a_key_lacks_counts(client: FlaskClient, shop_engine: Engine) -> None:
    key = a_key(shop_engine, Scope.SELL, rate=2)
    statuses = [client.get(ADDRESS, headers=bearer(key)).status_code for _ in range(3)]
    assert statuses == [403, 403, 429]


def test_threads_that_count_at_once_lose_no_count(storage: Storage) -> None:
    """Each gets a number of its own; what waited too long for SQLite is told to be uncounted, and is."""
    found: list[int] = []
    failed: list[StorageError] = []

    def count() -> None:
        for _ in range(25):
            try:
                found.append(storage.incr("a", 60))
            except StorageError as fault:
                failed.append(fault)

    threads = [Thread(target=count) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(found) == list(range(1, 201 - len(failed)))
    assert len(found) + len(failed) == 200
    assert len(found) >= 25
    gc.collect()
