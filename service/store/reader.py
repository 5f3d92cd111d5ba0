"""Reading on the hot path: a connection for each thread, kept open between questions."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError

from service.store.engine import for_reading

Found = TypeVar("Found")


class Reader:
    """Runs single statements, each of which sees one moment.

    Taking a connection from the pool and giving it back costs more than a small statement, so each
    thread keeps its own. A connection that the server closed meanwhile is replaced, and the work is
    done once more; it only reads, so doing it twice does no harm.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._mine = threading.local()

    def read(self, work: Callable[[Connection], Found]) -> Found:
        """What the work finds. Raises what the database raises."""
        try:
            return work(self._connection())
        except DBAPIError as fault:
            self.close()
            if not fault.connection_invalidated:
                raise
        return work(self._connection())

    def _connection(self) -> Connection:
        held: Connection | None = getattr(self._mine, "connection", None)
        if held is None:
            held = self._mine.connection = for_reading(self._engine)
        return held

    def close(self) -> None:
        """Give the calling thread's connection back; the next read takes another."""
        held: Connection | None = self._mine.__dict__.pop("connection", None)
        if held is not None:
            held.close()
