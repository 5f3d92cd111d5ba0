"""A request that stores something is done once, however often it is sent, and answered alike."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from threading import Barrier
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine, event, func, select, update
from sqlalchemy.exc import OperationalError

from service.api.calling import EXTENSION
from service.demo import serials as s
from service.store.engine import reading, writing
from service.store.repeats import SWEPT_AT_ONCE, FirstAnswer, RepeatKey, keep_answer
from service.store.tables import EVENTS, REPEATS
from service.usecases.caller import Scope
from service.usecases.repeats import KEPT_FOR
from tests.api.problem_shape import places, problem_of
from tests.api.writing import last_number, record, send, told
from tests.support.keys import a_key, bearer

TESTED = told("tested", board=s.BLANK_MAIN, passed=True)
KEY = "4d5a1c3e-the-first-try"


@pytest.fixture
def client(world_app: Flask) -> FlaskClient:
    return world_app.test_client()


def count(engine: Engine, table: Any) -> int:
    with reading(engine) as connection:
        return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def test_a_repetition_gives_the_first_answer_byte_for_byte(client: FlaskClient) -> None:
    first = send(client, TESTED, key=KEY)
    record(client, told("tested", board=s.BLANK_MAIN, passed=False))
    last = last_number(client)
    again = send(client, TESTED, key=KEY)
    assert (first.status_code, again.status_code) == (201, 201)
    assert again.get_data() == first.get_data()
    assert "Idempotency-Replayed" not in first.headers
    assert again.headers["Idempotency-Replayed"] == "true"
    assert last_number(client) == last


def test_the_text_is_repeated_too(client: FlaskClient) -> None:
    plain = {"Accept": "text/plain"}
    first = send(client, TESTED, key=KEY, headers=plain)
    assert send(client, TESTED, key=KEY, headers=plain).get_data() == first.get_data()


def test_the_same_content_written_otherwise_is_the_same(client: FlaskClient) -> None:
    headers = {"Idempotency-Key": KEY, "Content-Type": "application/json"}
    bodies = (
        '{"events": [{"kind": "tested", "data": {"board": "TBM4124382004F", "passed": true}}]}',
        '{"events":[{"data":{"passed":true,"board":"TBM4124382004F"},"kind":"tested"}]}',
    )
    first, second = (client.post("/v1/events", data=body, headers=headers) for body in bodies)
    assert second.get_data() == first.get_data()
    assert second.headers["Idempotency-Replayed"] == "true"


def test_a_key_with_other_content_is_a_mistake(client: FlaskClient) -> None:
    record(client, TESTED, key=KEY)
    response = send(client, told("tested", board=s.BLANK_MAIN, passed=False), key=KEY)
    problem = problem_of(response)
    assert (response.status_code, problem["code"]) == (422, "idempotency_key_reused")
    assert places(problem) == {"Idempotency-Key"}
    assert "send a new one" in problem["detail"]


def test_what_was_refused_is_not_kept(client: FlaskClient) -> None:
    wrong = told("tested", board="TBM4124382004X", passed=True)
    assert send(client, wrong, key=KEY).status_code == 422
    stale = [{"board": s.BLANK_MAIN, "version": 17}]
    assert send(client, TESTED, key=KEY, expected=stale).status_code == 409
    assert "Idempotency-Replayed" not in send(client, TESTED, key=KEY).headers


def test_a_key_is_its_owners_own(world: Engine, client: FlaskClient) -> None:
    bench, till = (bearer(a_key(world, Scope.RECORD, owner=owner)) for owner in ("bench", "till"))
    second_key_of_bench = bearer(a_key(world, Scope.RECORD, owner="bench"))
    first = send(client, TESTED, key=KEY, headers=bench)
    others = send(client, TESTED, key=KEY, headers=till)
    assert others.status_code == 201
    assert others.get_json()["events"][0]["seq"] == first.get_json()["events"][0]["seq"] + 1
    # A key that is rotated finds what the one before it did.
    assert send(client, TESTED, key=KEY, headers=second_key_of_bench).get_data() == first.get_data()


@pytest.mark.parametrize("key", ["12345678", "a" * 64, "!#$%&'()*+,-./:;<=>?@[]^_`{|}~"])
def test_a_key_in_quotes_is_the_same_key(client: FlaskClient, key: str) -> None:
    record(client, TESTED, key=key)
    assert send(client, TESTED, key=f'"{key}"').headers["Idempotency-Replayed"] == "true"


def test_eight_at_once_with_one_key_do_it_once(world: Engine, world_app: Flask) -> None:
    before = count(world, EVENTS)
    start = Barrier(8)

    def one() -> tuple[int, bytes, bool]:
        client = world_app.test_client()
        start.wait()
        try:
            answer = send(client, TESTED, key=KEY)
            return answer.status_code, answer.get_data(), "Idempotency-Replayed" in answer.headers
        finally:
            world_app.extensions[EXTENSION].reader.close()

    with ThreadPoolExecutor(8) as threads:
        found = [each.result() for each in [threads.submit(one) for _ in range(8)]]
    assert {status for status, _, _ in found} == {201}
    assert len({body for _, body, _ in found}) == 1
    assert sorted(replayed for _, _, replayed in found) == [False] + [True] * 7
    assert count(world, EVENTS) == before + 1


def test_what_is_done_and_its_answer_are_one_transaction(world: Engine, client: FlaskClient) -> None:
    """Where the answer cannot be kept the event is not there either, and a second try does it."""
    before = count(world, EVENTS)
    failing = _failing_once(world, lambda statement: "INSERT INTO repeats" in statement)
    assert send(client, TESTED, key=KEY).status_code == 503
    assert failing == [True]
    assert count(world, EVENTS) == before
    assert send(client, TESTED, key=KEY).status_code == 201
    assert count(world, EVENTS) == before + 1


def _failing_once(engine: Engine, which: Callable[[str], bool]) -> list[bool]:
    """Have the first statement of that kind fail as if the disk were full; what has failed so far."""
    failed: list[bool] = []

    @event.listens_for(engine, "before_cursor_execute")
    def fail(_c: Any, _u: Any, statement: str, *_: Any) -> None:
        if which(statement) and not failed:
            failed.append(True)
            raise OperationalError(statement, {}, Exception("the disk is full"))

    return failed


def test_old_answers_are_swept_by_later_writes(world: Engine, client: FlaskClient) -> None:
    old = datetime.now(UTC) - KEPT_FOR - timedelta(minutes=1)
    with writing(world) as connection:
        for number in range(SWEPT_AT_ONCE + 1):
            key = RepeatKey("till", "POST", "/v1/events", f"old-{number:06d}")
            keep_answer(connection, key, FirstAnswer("f", {}), old)
    record(client, TESTED, key=KEY)
    assert count(world, REPEATS) == 2
    record(client, TESTED)
    assert count(world, REPEATS) == 2


def test_an_answer_is_kept_for_two_days(world: Engine, client: FlaskClient) -> None:
    record(client, TESTED, key=KEY)
    almost = datetime.now(UTC) - KEPT_FOR + timedelta(minutes=1)
    with writing(world) as connection:
        connection.execute(update(REPEATS).values(answered_at=almost))
    record(client, TESTED)
    assert send(client, TESTED, key=KEY).headers["Idempotency-Replayed"] == "true"
