"""The triggers by which the database refuses to change what is permanent, and whether they are all there."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import Connection, text

NUMBERED = ("events", "catalogue_revisions")
"""Tables whose numbers have no gaps."""

KEYS = {
    "bindings": 1,
    "catalogue_revisions": 1,
    "event_subjects": 2,
    "events": 1,
}
"""On SQLite, by how many keys a new row could displace an old one, and so how many triggers forbid it."""

CHECKS = ("imported", "sale_checks")
"""The same with one key, under a shorter name."""

_THERE = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    # A trigger that is not enabled ALWAYS is skipped by a session that plays replica.
    "postgresql": (
        "SELECT tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
        "WHERE NOT tgisinternal AND tgenabled = 'A' AND relnamespace = current_schema()::regnamespace"
    ),
}


def missing_guards(connection: Connection) -> list[str]:
    """The names of triggers that should be there and in force, and are not."""
    dialect = connection.dialect.name
    there = set(connection.execute(text(_THERE[dialect])).scalars())
    return sorted(set(guards(dialect)) - there)


def guards(dialect: str) -> Iterable[str]:
    """The names of all triggers that the migrations make."""
    yield from _sqlite() if dialect == "sqlite" else _postgresql()


def _sqlite() -> Iterable[str]:
    for table in (*KEYS, *CHECKS):
        yield from (f"{table}_no_update", f"{table}_no_delete")
    yield from (f"{table}_no_insert_key_{number}" for table, keys in KEYS.items() for number in range(keys))
    yield from (f"{table}_no_insert" for table in CHECKS)
    yield from (f"{table}_no_insert_gap" for table in NUMBERED)
    yield "bindings_no_insert_epoch"


def _postgresql() -> Iterable[str]:
    yield from (f"{table}_refuse_change" for table in (*KEYS, *CHECKS))
    yield from (f"{table}_refuse_gap_in_{table}" for table in NUMBERED)
    yield "bindings_refuse_uncorrected_binding"
