"""Clients that fall silent in the middle of a request keep nobody else from an answer for long."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing

import pytest

from service.server.silence import SILENCE_SECONDS
from service.settings import Settings
from tests.endurance.asking import Client
from tests.endurance.counting import Report
from tests.endurance.crews import PATIENCE
from tests.endurance.serving import WORKERS, Served, a_shop, served
from tests.support.keys import SUITE, bearer

OTHERS = 12
SLACK = 20
HEAD = b"GET /healthz HT"
BODY = (
    b"POST /v1/fit-checks HTTP/1.1\r\nHost: shop\r\nContent-Type: application/json\r\nContent-Length: 100\r\n"
    + b"".join(f"{name}: {value}\r\n".encode() for name, value in bearer(SUITE.written()).items())
    + b"\r\n{"
)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("silent")
    url = f"sqlite:///{folder / 'shop.db'}"
    with a_shop(url), served(url, folder) as server:
        yield server


@pytest.mark.deep
@pytest.mark.parametrize("sent", [HEAD, BODY], ids=["head", "body"])
def test_others_are_answered_when_the_silent_are_given_up(
    server: Served, sent: bytes, report: Report
) -> None:
    """There are twice as many as threads, and one worker may have got them all."""
    threads = WORKERS * Settings().threads
    with ExitStack() as stack, ThreadPoolExecutor(OTHERS) as pool:
        for _ in range(2 * threads):
            silent = stack.enter_context(socket.create_connection(("127.0.0.1", server.port)))
            silent.sendall(sent)
        began = time.monotonic()
        others = [pool.submit(is_alive, server.port) for _ in range(OTHERS)]
        assert [other.result() for other in others] == [200] * OTHERS
        waited = time.monotonic() - began
    assert "Traceback" not in server.said()
    assert waited < 2 * WORKERS * SILENCE_SECONDS + SLACK
    report(silent=2 * threads, others=OTHERS, waited=round(waited, 1))


def is_alive(port: int) -> int:
    with closing(Client(port, timeout=PATIENCE)) as client:
        return client.get("/healthz").status
