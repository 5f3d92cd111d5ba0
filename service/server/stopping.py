"""Stopping in order: first nobody is sent here any more, then nobody is let in, then what runs is finished.

On SIGTERM `/readyz` turns 503 while requests are still taken, for as long as a proxy needs to notice; only
then does the listener close. The server's own way of stopping begins with closing it, and a proxy that has
not noticed yet would meet a refused connection.
"""

from __future__ import annotations

import gc
import mmap
import os
import signal
from collections.abc import Callable
from types import FrameType
from typing import Any

_FLAG = mmap.mmap(-1, 1)
"""Memory that a server and the workers it forks have in common."""

LINGER_SECONDS = 0.5
"""So long a worker that stops waits for a next request on a connection that it had promised to keep."""


def is_stopping() -> bool:
    """Whether the server of this process has been told to stop."""
    return _FLAG[0] != 0


def stop_in_order(drain_seconds: int) -> Callable[[Any], None]:
    """To be called with the server when it listens and has not started a worker yet."""

    def prepare(server: Any) -> None:
        _FLAG[0] = 0
        _linger_shortly()
        own = os.getpid()

        def drain(number: int, frame: FrameType | None) -> None:
            # A worker has this handler for a moment, until it sets its own; whoever asks twice is in a hurry.
            if os.getpid() != own or is_stopping() or not drain_seconds:
                signal.setitimer(signal.ITIMER_REAL, 0)
                _FLAG[0] = 1
                server.signal(number, frame)
                return
            _FLAG[0] = 1
            signal.setitimer(signal.ITIMER_REAL, drain_seconds)

        signal.signal(signal.SIGTERM, drain)
        signal.signal(signal.SIGALRM, lambda _, frame: server.signal(signal.SIGTERM, frame))

    return prepare


def leave_at_once() -> None:
    """To be called by a process that is about to end: it looks for no memory that could be given back.

    The interpreter would do so several times on its way out, which took a worker 0.4 s of its processor.
    """
    gc.freeze()


def _linger_shortly() -> None:
    """The server would keep kept connections for two seconds, which alone is longer than a stop may take."""
    from gunicorn.workers import gthread  # type: ignore[import-untyped] # noqa: PLC0415 - it cannot be imported everywhere

    if hasattr(gthread, "STOP_KEEPALIVE_LINGER"):
        gthread.STOP_KEEPALIVE_LINGER = LINGER_SECONDS
