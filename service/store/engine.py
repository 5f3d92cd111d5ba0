"""Engines and transactions of either database; what each needs besides is in `sqlite` and `postgresql`.

No error and no log tells the values of a statement: they are serials, and digests of keys.

Nothing connects or commits by itself: `writing` commits when its block ends well and rolls back
otherwise; `reading` is a consistent view that never writes.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, make_url, text

from service.store.sqlite import begin_immediate, sqlite_engine, turn

LOCK_TIMEOUT_MS = 5_000
"""How long a writer waits for another before it gives up; SQLite's busy timeout is the same."""

Database = Engine
"""The store as a use case holds it: something to write to, of which it knows nothing else."""

Transaction = Connection
"""What `writing` hands out, as a use case passes it on."""

AUTOCOMMIT: dict[str, Any] = {"isolation_level": "AUTOCOMMIT"}

_WRITES = "boardfit_writes"


def open_engine(url: str, *, pool_size: int = 8) -> Engine:
    """An engine for a SQLite or PostgreSQL URL; connections are made when they are first needed.

    Raises ValueError for another kind of database.
    """
    target = make_url(url)
    match target.get_backend_name():
        case "sqlite":
            return sqlite_engine(target, pool_size=pool_size, lock_timeout_ms=LOCK_TIMEOUT_MS)
        case "postgresql":
            from service.store.postgresql import postgresql_engine  # noqa: PLC0415 - its driver is a good part of a start, and nothing to a ledger in a file

            target = target.set(drivername="postgresql+psycopg")
            return postgresql_engine(target, pool_size=pool_size, lock_timeout_ms=LOCK_TIMEOUT_MS)
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
        turn(engine, until),
        engine.connect().execution_options(**options) as connection,
        connection.begin(),
    ):
        if engine.dialect.name == "sqlite":
            begin_immediate(connection, until, LOCK_TIMEOUT_MS)
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
    from service.store.dialling import BoundedConnection  # noqa: PLC0415 - see open_engine

    connection.execute(text("SET LOCAL statement_timeout = 0"))
    driver = connection.connection.driver_connection
    assert isinstance(driver, BoundedConnection)
    driver.is_bounded = False
    try:
        yield
    finally:
        driver.is_bounded = True


def begins_with_write_lock(connection: Connection) -> bool:
    """Whether the connection is one of `writing`."""
    return bool(connection.get_execution_options().get(_WRITES))
