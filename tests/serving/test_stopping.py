"""Told to stop, a server says so to its proxy first, and loses no request."""

from __future__ import annotations

import json
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from http.client import HTTPException
from pathlib import Path
from types import SimpleNamespace

import pytest

from service.server import stopping
from tests.endurance.asking import Client
from tests.endurance.serving import Served, a_shop

DRAIN = 2
"""Seconds."""
BUSY = 8
"""Seconds that a busy machine may take besides; what would hold it up for good holds it up for 25."""
QUESTION = "/v1/models/wren-8"


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    url = f"sqlite:///{tmp_path_factory.mktemp('stopping') / 'shop.db'}"
    with a_shop(url):
        yield url


@pytest.fixture
def server(url: str, tmp_path: Path) -> Iterator[Served]:
    """Not started yet."""
    server = Served(url, tmp_path / "server.log", environment={"BOARDFIT_DRAIN_SECONDS": "2"})
    yield server
    server.end()


def status(server: Served, path: str) -> int | None:
    """The status of an answer on a new connection; None where nobody takes it."""
    with closing(Client(server.port)) as client, suppress(OSError, HTTPException):
        return client.get(path).status
    return None


def test_it_is_not_ready_then_closed_then_gone(server: Served) -> None:
    """By gunicorn's own command, as README has it."""
    bound = f"127.0.0.1:{server.port}"
    server.program = [
        *(sys.executable, "-m", "gunicorn", "-c", "python:service.server.configuration"),
        *("--bind", bound, "service.wsgi:app"),
    ]
    server.start()
    with closing(Client(server.port)) as kept:
        assert kept.get(QUESTION).status == 200
        asked = time.monotonic()
        server.ask_to_stop()
        while status(server, "/readyz") == 200:
            assert time.monotonic() < asked + DRAIN, "it does not say that it is about to stop"
        with closing(Client(server.port)) as new:
            problem = new.get("/readyz")
            assert (problem.status, problem.json()["code"]) == (503, "stopping")
        while time.monotonic() < asked + DRAIN - 0.5:
            assert [status(server, path) for path in ("/readyz", "/healthz", QUESTION)] == [503, 200, 200]
            assert kept.get(QUESTION).status == 200
            time.sleep(0.1)
    server.until_stopped()
    assert DRAIN <= time.monotonic() - asked < DRAIN + BUSY
    assert status(server, "/healthz") is None
    lines = [json.loads(line) for line in server.said().splitlines()[1:]]
    assert {"get_model", "is_ready", "is_alive"} <= {line.get("operation") for line in lines}
    assert any("Shutting down" in line.get("message", "") for line in lines), (
        "the server's own lines are alike"
    )


@pytest.fixture
def told() -> Iterator[list[int]]:
    """The signals that a server is given which prepares to stop in this process, with a delay of a second."""
    before = {each: signal.getsignal(each) for each in (signal.SIGTERM, signal.SIGALRM)}
    given: list[int] = []
    stopping.stop_in_order(1)(SimpleNamespace(signal=lambda number, _: given.append(number)))
    yield given
    signal.setitimer(signal.ITIMER_REAL, 0)
    for each, handler in before.items():
        signal.signal(each, handler)
    vars(stopping)["_FLAG"][0] = 0


def test_asked_twice_it_does_not_wait(told: list[int]) -> None:
    assert not stopping.is_stopping()
    signal.raise_signal(signal.SIGTERM)
    assert stopping.is_stopping()
    assert told == []
    signal.raise_signal(signal.SIGTERM)
    assert told == [signal.SIGTERM]


def test_asked_once_it_stops_after_the_delay(told: list[int]) -> None:
    signal.raise_signal(signal.SIGTERM)
    until = time.monotonic() + 10
    while not told:
        assert time.monotonic() < until
        time.sleep(0.05)
    assert told == [signal.SIGTERM]
