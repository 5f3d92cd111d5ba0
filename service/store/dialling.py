"""Connections to PostgreSQL: nobody waits for an answer without end, and nobody queues for one in vain.

A server that is gone is noticed by the system. One that is there and says nothing (its disk stands still, its
process is stopped, a proxy between holds on) is noticed by nobody but us.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from threading import Lock
from typing import Any, TypeVar

import psycopg
from psycopg.pq import TransactionStatus

SILENCE_SECONDS = 15.0
"""How long a statement may stay without any answer: by then the server itself should have ended it."""

HOLD_SECONDS = 1.0
"""After a connection could not be made, nobody else tries for so long, and then one at a time."""

Made = TypeVar("Made")


class BoundedConnection(psycopg.Connection[Any]):
    """A connection that is given up when it stays silent; it is closed then, and raises OperationalError."""

    is_bounded = True
    """Off for work that takes as long as it takes."""

    def wait(self, gen: Any, interval: float = 0.1, timeout: float | None = None) -> Any:
        if timeout is None and self.is_bounded:
            timeout = SILENCE_SECONDS
        try:
            return super().wait(gen, interval, timeout)
        except psycopg.OperationalError:
            if self.pgconn.transaction_status == TransactionStatus.ACTIVE:
                # What was asked may be answered yet, to nobody: the connection is of no use any more.
                self.pgconn.finish()
            raise


class Dialling:
    """Makes connections of one process to one server.

    While the server does not answer, one caller tries and all others are told at once: each that waits holds
    a thread, and soon nobody would be left to answer anything.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._guard = Lock()
        self._try_again: float | None = None
        """When; None while the last try went well."""
        self._trying = False

    def connect(self, make: Callable[[], Made]) -> Made:
        """What `make` makes. Raises psycopg's OperationalError, also without a try."""
        self._begin()
        try:
            made = make()
        except BaseException:
            self._ended(self._clock() + HOLD_SECONDS)
            raise
        self._ended(None)
        return made

    def _begin(self) -> None:
        with self._guard:
            if self._try_again is None:
                return
            if self._trying or self._clock() < self._try_again:
                raise psycopg.OperationalError("the server did not answer a moment ago")
            self._trying = True

    def _ended(self, try_again: float | None) -> None:
        with self._guard:
            self._try_again = try_again
            self._trying = False


def dialled(dialling: Dialling) -> Callable[..., BoundedConnection]:
    """For SQLAlchemy's event `do_connect`."""

    def connect(dialect: object, record: object, given: Any, named: Any) -> BoundedConnection:  # noqa: ARG001 - the event's signature
        return dialling.connect(lambda: BoundedConnection.connect(*given, **named))

    return connect
