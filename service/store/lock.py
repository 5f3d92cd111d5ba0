"""One writer at a time: the lock under which numbers are given, and the database's clock."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, func, select, text

from service.store.engine import begins_with_write_lock

LEDGER_KEY = 0x626F_6172_6466_0001
"""The advisory lock of appending and publishing on PostgreSQL; any constant of ours would do."""

IDLE_TIMEOUT_MS = 10_000
"""How long PostgreSQL lets a writer that has the lock say nothing, before it ends it and what it wrote."""

TAKE = text(
    "SELECT pg_advisory_xact_lock(:key), set_config('idle_in_transaction_session_timeout', :idle, true), "
    # Whatever the server is told to do for others: what is acknowledged here is on the disk.
    "CASE current_setting('synchronous_commit') "
    "WHEN 'off' THEN set_config('synchronous_commit', 'local', true) END"
)


def take_write_lock(connection: Connection) -> None:
    """Wait for the ledger's lock; it is held until the transaction ends.

    INVARIANT: a number is taken only under this lock, so number order is commit order and a reader
    who has seen a number has seen all below it. Raises RuntimeError outside of `engine.writing`.
    """
    if not begins_with_write_lock(connection):
        raise RuntimeError("appending needs a transaction of `writing`")
    if connection.dialect.name == "postgresql":
        connection.execute(TAKE, {"key": LEDGER_KEY, "idle": str(IDLE_TIMEOUT_MS)})


def database_time(connection: Connection) -> datetime:
    """The database's time now, in UTC; not that of the transaction's start."""
    return told_time(connection.execute(select(clock(connection.dialect.name))).scalar_one())


def clock(dialect: str) -> ColumnElement[Any]:
    """The database's clock, to be part of a statement; see `told_time`."""
    if dialect == "postgresql":
        return func.clock_timestamp()
    return func.strftime("%Y-%m-%dT%H:%M:%f", "now")


def told_time(told: datetime | str) -> datetime:
    """What `clock` tells, in UTC."""
    if isinstance(told, str):
        return datetime.fromisoformat(told).replace(tzinfo=UTC)
    return told.astimezone(UTC)
