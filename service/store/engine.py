"""Engines and transactions: what each database needs set, in one place.

No error and no log tells the values of a statement: they are serials, and digests of keys.

Nothing connects or commits by itself: `writing` commits when its block ends well and rolls back
otherwise; `reading` is a consistent view that never writes.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import OperationalError

from service.store.dialling import BoundedConnection, Dialling, dialled
from service.store.turns import Turns

STATEMENT_TIMEOUT_MS = 10_000
LOCK_TIMEOUT_MS = 5_000
"""How long a writer waits for another before it gives up; SQLite's busy timeout is the same."""

LOOK_MS = 10
"""How long SQLite looks for its write lock by itself before we have it start anew.

It looks ever more rarely, at last ten times a second, and so may never find the lock free beside a busy
writer of another process.
"""

CONNECT_SECONDS = 5
"""How long PostgreSQL may take to let a new connection in."""

VANISHED = {
    "keepalives_idle": 5,
    "keepalives_interval": 2,
    "keepalives_count": 3,
    "tcp_user_timeout": 5_000,
}
"""When a host that is not there any more is given up (parameters of libpq): by default after hours.

A host that is there takes note of what it is sent at once, however long its answer takes.
"""

LEFT = {"tcp_keepalives_idle": 5, "tcp_keepalives_interval": 2, "tcp_keepalives_count": 3}
"""The same for the server, which takes so many sessions and no more (settings of PostgreSQL)."""

WAL_ATTEMPTS = 20
"""How often a new connection asks for the write-ahead log while others make the file."""

MAPPED_BYTES = 2**30
"""So much of a SQLite file is read by mapping it: a read that misses SQLite's own cache costs no call."""

SQLITE_PRAGMAS = ("synchronous=FULL", "foreign_keys=ON", "recursive_triggers=ON", f"mmap_size={MAPPED_BYTES}")

Database = Engine
"""The store as a use case holds it: something to write to, of which it knows nothing else."""

Transaction = Connection
"""What `writing` hands out, as a use case passes it on."""

AUTOCOMMIT: dict[str, Any] = {"isolation_level": "AUTOCOMMIT"}

_WRITES = "boardfit_writes"
_QUEUES: WeakKeyDictionary[Engine, Turns] = WeakKeyDictionary()
"""For each SQLite engine, whose turn it is to write."""


def open_engine(url: str, *, pool_size: int = 8) -> Engine:
    """An engine for a SQLite or PostgreSQL URL; connections are made when they are first needed.

    Raises ValueError for another kind of database.
    """
    target = make_url(url)
    match target.get_backend_name():
        case "sqlite":
            return _sqlite(target, pool_size)
        case "postgresql":
            return _postgresql(target.set(drivername="postgresql+psycopg"), pool_size)
        case other:
            raise ValueError(f"the database must be sqlite or postgresql, not {other}")


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that may write; on SQLite it has the write lock from its first moment.

    Raises SQLAlchemy's OperationalError where others keep it waiting too long.
    """
    until = time.monotonic() + LOCK_TIMEOUT_MS / 1000
    options = {_WRITES: True}
    with (
        _turn(engine, until),
        engine.connect().execution_options(**options) as connection,
        connection.begin(),
    ):
        if engine.dialect.name == "sqlite":
            _begin_immediate(connection, until)
        yield connection


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection for single statements: each sees one moment, no transaction is opened around it."""
    with for_reading(engine) as connection:
        yield connection


def for_reading(engine: Engine) -> Connection:
    """The connection of `reading`, for the caller to close."""
    connection = engine.connect()
    # SQLite's driver commits by itself already; changing its isolation level for each connection costs
    # several times the statement.
    return connection if engine.dialect.name == "sqlite" else connection.execution_options(**AUTOCOMMIT)


@contextmanager
def snapshot(engine: Engine) -> Iterator[Connection]:
    """A read transaction in which all statements see the same moment."""
    options = {"isolation_level": "REPEATABLE READ"} if engine.dialect.name == "postgresql" else {}
    with engine.connect().execution_options(**options) as connection, connection.begin() as transaction:
        if engine.dialect.name == "sqlite":
            connection.exec_driver_sql("BEGIN DEFERRED")
        yield connection
        transaction.rollback()


@contextmanager
def unhurried(connection: Connection) -> Iterator[None]:
    """Where statements of a transaction take as long as they take: a migration or a check of a long ledger.

    It is for commands, at which somebody sits: PostgreSQL is waited for without end.
    """
    if connection.dialect.name != "postgresql":
        yield
        return
    connection.execute(text("SET LOCAL statement_timeout = 0"))
    driver = connection.connection.driver_connection
    assert isinstance(driver, BoundedConnection)
    driver.is_bounded = False
    try:
        yield
    finally:
        driver.is_bounded = True


@contextmanager
def _turn(engine: Engine, until: float) -> Iterator[None]:
    """Writers of one process take turns at SQLite: its own waiting is a sleep, and starves the unlucky."""
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


def begins_with_write_lock(connection: Connection) -> bool:
    """Whether the connection is one of `writing`."""
    return bool(connection.get_execution_options().get(_WRITES))


def _sqlite(url: URL, pool_size: int) -> Engine:
    options: dict[str, Any] = {"timeout": LOCK_TIMEOUT_MS / 1000}
    engine = create_engine(
        url, connect_args=options, pool_size=pool_size, max_overflow=pool_size, hide_parameters=True
    )
    event.listen(engine, "connect", _set_up_sqlite)
    _QUEUES[engine] = Turns()
    return engine


def _postgresql(url: URL, pool_size: int) -> Engine:
    timeouts = {"statement_timeout": STATEMENT_TIMEOUT_MS, "lock_timeout": LOCK_TIMEOUT_MS}
    settings = {**timeouts, **LEFT, "timezone": "UTC"}
    engine = create_engine(
        url,
        connect_args={
            "options": " ".join(f"-c {name}={value}" for name, value in settings.items()),
            "application_name": "boardfit",
            "connect_timeout": CONNECT_SECONDS,
            **VANISHED,
        },
        hide_parameters=True,
        pool_pre_ping=True,
        pool_size=pool_size,
        max_overflow=pool_size,
    )
    event.listen(engine, "do_connect", dialled(Dialling()))
    return engine


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


def _begin_immediate(connection: Connection, until: float) -> None:
    """Take SQLite's write lock at once: a transaction that reads and then writes would fail if DEFERRED.

    It is said here, for a listener to the engine's own begin would make every connection dearer.
    """
    connection.exec_driver_sql(f"PRAGMA busy_timeout={LOOK_MS}")
    try:
        while not _has_begun(connection, last_look=time.monotonic() >= until):
            pass
    finally:
        connection.exec_driver_sql(f"PRAGMA busy_timeout={LOCK_TIMEOUT_MS}")


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
