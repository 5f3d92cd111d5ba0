"""Counting requests in our own database, for all processes and hosts that share it.

A storage of the rate library, whose strategies do the rest.
"""

from __future__ import annotations

import time
from typing import Any

from limits.storage import Storage
from sqlalchemy import Engine, delete, event, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from service.store.engine import open_engine
from service.store.reader import Reader
from service.store.tables import RATE_COUNTS

WAIT_MS = 100
"""How long a count waits for a writer of the same SQLite file; what waited longer goes uncounted."""

_NEVER = (0, 0.0)

_NOW = {
    "sqlite": "CAST(strftime('%s', 'now') AS INTEGER)",
    "postgresql": "CAST(extract(epoch FROM clock_timestamp()) AS INTEGER)",
}
"""The database's clock, which all that count together share; whole seconds."""


class DatabaseCounts(Storage):
    """Counts of all that share a database: a row for each key, one statement for each request."""

    STORAGE_SCHEME = None

    def __init__(self, statements: Reader, dialect: str) -> None:
        super().__init__(wrap_exceptions=True)
        self._statements = statements
        self._count = _counting(dialect)
        self._seen: dict[str, tuple[int, float]] = {}

    @property
    def base_exceptions(self) -> type[Exception] | tuple[type[Exception], ...]:
        return (DBAPIError, NoConnectionFree)

    def incr(self, key: str, expiry: float, amount: int = 1) -> int:
        """Count, and begin a new window where the last one has ended. The count in the window."""
        values = {"name": key, "amount": amount, "seconds": int(expiry)}
        hits, seconds = self._statements.read(lambda c: c.execute(self._count, values).one())
        # What is asked about a count right after it was taken is answered from here: it is the newest. The
        # clocks of the hosts may differ, so what is left of the window is kept, and not when it ends.
        self._seen[key] = (hits, time.monotonic() + seconds)
        return int(hits)

    def get(self, key: str) -> int:
        """The count as this process saw it last; 0 once its window has ended."""
        hits, ends = self._seen.get(key, _NEVER)
        return hits if ends > time.monotonic() else 0

    def get_expiry(self, key: str) -> float:
        """When the window ends, in Unix time; now for a count that was never taken."""
        _, ends = self._seen.get(key, _NEVER)
        return time.time() + max(0.0, ends - time.monotonic())

    def check(self) -> bool:
        """Whether the database answers."""
        return bool(self._statements.read(lambda c: c.execute(text("SELECT 1")).scalar_one()))

    def reset(self) -> int:
        """Forget all counts; how many there were."""
        self._seen.clear()
        return self._statements.read(lambda c: c.execute(delete(RATE_COUNTS)).rowcount)

    def clear(self, key: str) -> None:
        """Forget one count."""
        self._seen.pop(key, None)
        self._statements.read(lambda c: c.execute(delete(RATE_COUNTS).where(RATE_COUNTS.c.name == key)))


def shared_counts(engine: Engine, reader: Reader, threads: int) -> DatabaseCounts:
    """Counts in the engine's database, for a process of so many threads.

    PostgreSQL takes them on the connection that the thread has anyway: the table is outside of the log. On
    SQLite they have an engine of their own, which waits for other writers for a moment only and leaves the
    sync to them; the file stays sound, and a count that a power cut takes is a minute's matter.
    """
    if engine.dialect.name == "postgresql":
        return DatabaseCounts(reader, "postgresql")
    own = open_engine(engine.url.render_as_string(hide_password=False), pool_size=threads)
    event.listen(own, "connect", _in_no_hurry)
    return DatabaseCounts(Reader(own), "sqlite")


def _in_no_hurry(connection: Any, record: object) -> None:  # noqa: ARG001 - the event's signature
    for pragma in (f"busy_timeout={WAIT_MS}", "synchronous=NORMAL"):
        connection.execute(f"PRAGMA {pragma}").close()


def _counting(dialect: str) -> Any:
    """A new row begins with `amount`; a row whose window has ended begins anew; another one goes on.

    One that ends later than a window that begins now was counted before the clock was put back, and ended.
    """
    row, new = "rate_counts.ends_at", "excluded.ends_at"
    ended = f"({row} <= {new} - :seconds OR {row} > {new})"
    return text(f"""
        INSERT INTO rate_counts (name, hits, ends_at) VALUES (:name, :amount, {_NOW[dialect]} + :seconds)
        ON CONFLICT (name) DO UPDATE SET
            hits = CASE WHEN {ended} THEN excluded.hits ELSE rate_counts.hits + excluded.hits END,
            ends_at = CASE WHEN {ended} THEN excluded.ends_at ELSE rate_counts.ends_at END
        RETURNING hits, ends_at - {_NOW[dialect]} AS seconds
    """)  # noqa: S608 - the pieces are those above
