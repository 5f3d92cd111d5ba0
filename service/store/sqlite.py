"""Engines for SQLite: a file that several processes write to, one after the other.

It looks for its write lock by itself ever more rarely, at last ten times a second, and so may never find the
lock free beside a busy writer. So writers of one process take turns, and each asks anew and anew.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import OperationalError

from service.store.turns import Turns

LOOK_MS = 10
"""How long SQLite looks for its write lock by itself before we have it start anew."""

WAL_ATTEMPTS = 20
"""How often a new connection asks for the write-ahead log while others make the file."""

MAPPED_BYTES = 2**30
"""So much of a SQLite file is read by mapping it: a read that misses SQLite's own cache costs no call."""

SQLITE_PRAGMAS = ("synchronous=FULL", "foreign_keys=ON", "recursive_triggers=ON", f"mmap_size={MAPPED_BYTES}")

_QUEUES: WeakKeyDictionary[Engine, Turns] = WeakKeyDictionary()
"""For each SQLite engine, whose turn it is to write."""


def sqlite_engine(url: URL, *, pool_size: int, lock_timeout_ms: int) -> Engine:
    """An engine whose connections wait so long for the lock of another."""
    options: dict[str, Any] = {"timeout": lock_timeout_ms / 1000}
    engine = create_engine(
        url, connect_args=options, pool_size=pool_size, max_overflow=pool_size, hide_parameters=True
    )
    event.listen(engine, "connect", _set_up_sqlite)
    _QUEUES[engine] = Turns()
    return engine


@contextmanager
def turn(engine: Engine, until: float) -> Iterator[None]:
    """Where it is this thread's turn to write; at once where the engine is none of SQLite.

    Raises SQLAlchemy's OperationalError where it does not come in time.
    """
    queue = _QUEUES.get(engine)
    if queue is None:
        yield
        return
    if not queue.acquire(timeout=max(0.0, until - time.monotonic())):
        locked = sqlite3.OperationalError("database is locked: others are writing for too long")
        raise OperationalError("BEGIN IMMEDIATE", None, locked)
    try:
        yield
    finally:
        queue.release()


def _set_up_sqlite(connection: Any, record: object) -> None:  # noqa: ARG001 - the event's signature
    """Without an isolation level the driver begins nothing by itself: `writing` and `snapshot` do."""
    connection.isolation_level = None
    _use_write_ahead_log(connection)
    for pragma in SQLITE_PRAGMAS:
        connection.execute(f"PRAGMA {pragma}").close()


def _use_write_ahead_log(connection: sqlite3.Connection) -> None:
    """The journal of a file is changed once; who comes second at that moment is refused, not made to wait.

    So it waits by asking for the write lock, which SQLite does wait for, and then asks again.
    """
    for _ in range(WAL_ATTEMPTS):
        try:
            connection.execute("PRAGMA journal_mode=WAL").close()
        except sqlite3.OperationalError as refusal:
            if not _is_busy(refusal):
                raise
            connection.execute("BEGIN IMMEDIATE").close()
            connection.execute("ROLLBACK").close()
        else:
            return
    raise sqlite3.OperationalError("the database stays locked by others that open it")


def begin_immediate(connection: Connection, until: float, lock_timeout_ms: int) -> None:
    """Take SQLite's write lock at once: a transaction that reads and then writes would fail if DEFERRED.

    It is said here, for a listener to the engine's own begin would make every connection dearer.
    """
    connection.exec_driver_sql(f"PRAGMA busy_timeout={LOOK_MS}")
    try:
        while not _has_begun(connection, last_look=time.monotonic() >= until):
            pass
    finally:
        connection.exec_driver_sql(f"PRAGMA busy_timeout={lock_timeout_ms}")


def _has_begun(connection: Connection, *, last_look: bool) -> bool:
    try:
        connection.exec_driver_sql("BEGIN IMMEDIATE")
    except OperationalError as refusal:
        if last_look or not _is_busy(refusal.orig):
            raise
        return False
    return True


def _is_busy(refusal: BaseException | None) -> bool:
    """Whether others have the lock. The lowest byte of the driver's code says so, the next one why."""
    code = getattr(refusal, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    return bool(code & 0xFF == sqlite3.SQLITE_BUSY)
