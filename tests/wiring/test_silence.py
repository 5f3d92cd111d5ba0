"""Connections have a limit to their silence from the listener that takes them."""

from __future__ import annotations

import logging
import socket
import struct

import pytest

from service.server import silence
from service.server.silence import SILENCE_SECONDS, is_worth_telling, limit


@pytest.mark.parametrize("option", [socket.SO_RCVTIMEO, socket.SO_SNDTIMEO])
def test_a_connection_has_the_limits_of_its_listener(option: int) -> None:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        limit(listener)
        with socket.create_connection(listener.getsockname()), listener.accept()[0] as taken:
            assert struct.unpack("ll", taken.getsockopt(socket.SOL_SOCKET, option, 16)) == (
                SILENCE_SECONDS,
                0,
            )


def test_who_waits_longer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(silence, "SILENCE_SECONDS", 1)
    with socket.create_server(("127.0.0.1", 0)) as listener:
        limit(listener)
        silent = socket.create_connection(listener.getsockname())
        with silent, listener.accept()[0] as taken, pytest.raises(BlockingIOError):
            taken.recv(1)


@pytest.mark.parametrize(("fault", "told"), [(BlockingIOError(), False), (OSError(), True)])
def test_the_log_tells_of_other_faults_only(fault: OSError, told: bool) -> None:
    trace = (type(fault), fault, None)
    record = logging.LogRecord("gunicorn.error", logging.ERROR, "", 0, "socket error", None, trace)
    assert is_worth_telling(record) is told
