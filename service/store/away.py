"""Whether the database is at fault, or what was asked of it."""

from __future__ import annotations

from sqlalchemy.exc import DBAPIError, OperationalError

READ_ONLY = "25006"
"""SQLSTATE read_only_sql_transaction (PostgreSQL, appendix A); SQLite's like is an OperationalError."""


def is_away(error: DBAPIError) -> bool:
    """Whether the database is gone, busy, full or read-only: the same statement is right at another time."""
    read_only = getattr(error.orig, "sqlstate", None) == READ_ONLY
    return isinstance(error, OperationalError) or error.connection_invalidated or read_only
