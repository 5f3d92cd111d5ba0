"""Whether the database is at fault, or what was asked of it."""

from __future__ import annotations

from sqlalchemy.exc import DBAPIError, OperationalError

READ_ONLY = "25006"
"""SQLSTATE read_only_sql_transaction (PostgreSQL, appendix A); SQLite's like is an OperationalError."""

NO_RIGHT = "42501"
"""SQLSTATE insufficient_privilege (PostgreSQL, appendix A)."""


def is_away(error: DBAPIError) -> bool:
    """Whether the database is gone, busy, full or read-only: the same statement is right at another time."""
    read_only = getattr(error.orig, "sqlstate", None) == READ_ONLY
    return isinstance(error, OperationalError) or error.connection_invalidated or read_only


def is_forbidden(error: DBAPIError) -> bool:
    """Whether the user of the database may not do what was asked of it."""
    return getattr(error.orig, "sqlstate", None) == NO_RIGHT
