"""What the service's own role may do on PostgreSQL, where another role owns the tables.

The triggers refuse to change what is permanent, but who owns a table can drop its triggers. So the service
does not own its tables, and has no right that it does not need: whoever takes over its connection can add to
the ledger and change what is cached, and no more. New keys and catalogues are the owner's business.
"""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import Connection, text

from service.store.migrate import MIGRATION_KEY
from service.store.tables import (
    BINDINGS,
    BOARDS,
    CATALOGUE_REVISIONS,
    EVENT_SUBJECTS,
    EVENTS,
    IMPORTED,
    KEYS,
    RATE_COUNTS,
    REPEATS,
    SALE_CHECKS,
    UNITS,
    VACANCIES,
)

READ = frozenset({"SELECT"})
APPEND = READ | {"INSERT"}
CHANGE = APPEND | {"UPDATE", "DELETE"}

RIGHTS: Mapping[str, frozenset[str]] = {
    **dict.fromkeys(("alembic_version", CATALOGUE_REVISIONS.name, KEYS.name), READ),
    **dict.fromkeys(
        (each.name for each in (BINDINGS, EVENT_SUBJECTS, EVENTS, IMPORTED, SALE_CHECKS)), APPEND
    ),
    **dict.fromkeys((each.name for each in (BOARDS, RATE_COUNTS, REPEATS, UNITS, VACANCIES)), CHANGE),
}
"""By table. What is not named here may not be touched."""


class NoSuchRole(Exception):
    """The server has no role of this name, or is no server that has roles."""


class TooMuch(Exception):
    """The role may do more than it was given here, by what else it is or belongs to."""


def grant(connection: Connection, role: str) -> None:
    """Let a role have these rights and no others. The connection is one of `engine.writing`, of the tables'
    owner.

    Raises NoSuchRole and TooMuch, with nothing changed once the transaction is rolled back.
    """
    if connection.dialect.name != "postgresql":
        raise NoSuchRole("a SQLite file has no roles: whoever can write the file can write all of it")
    found = connection.execute(text("SELECT 1 FROM pg_roles WHERE rolname = :role"), {"role": role})
    if found.first() is None:
        raise NoSuchRole(f"the server has no role {role}: make it first, with CREATE ROLE {role} LOGIN")
    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": MIGRATION_KEY})
    for statement in _statements(connection, role):
        connection.execute(text(statement))
    if more := excess(connection, role):
        raise TooMuch(
            f"{role} may do more than the service should ({', '.join(more)}): it must be no superuser, own "
            "no table and be a member of no role that does"
        )


def _statements(connection: Connection, role: str) -> list[str]:
    quote = connection.dialect.identifier_preparer.quote_identifier
    schema, who = quote(connection.execute(text("SELECT current_schema()")).scalar_one()), quote(role)
    given = [
        f"GRANT {', '.join(sorted(rights))} ON {schema}.{quote(table)} TO {who}"
        for table, rights in RIGHTS.items()
    ]
    return [
        f"REVOKE CREATE ON SCHEMA {schema} FROM PUBLIC, {who}",
        f"REVOKE ALL ON ALL TABLES IN SCHEMA {schema} FROM PUBLIC, {who}",
        f"GRANT USAGE ON SCHEMA {schema} TO {who}",
        *given,
    ]


_RIGHTS = text("""
    SELECT relname AS name, wanted
    FROM pg_class, unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'REFERENCES', 'DELETE', 'TRUNCATE', 'TRIGGER'])
        WITH ORDINALITY AS rights (wanted, place)
    WHERE relnamespace = current_schema()::regnamespace AND relkind IN ('r', 'p', 'v', 'm', 'f')
    AND CASE
        WHEN place <= 4 THEN has_any_column_privilege(:role, pg_class.oid, wanted)
        ELSE has_table_privilege(:role, pg_class.oid, wanted)
    END
    ORDER BY name, place
""")
"""The first four can be given for single columns too."""

_OTHERS = text("""
    SELECT 'superuser' FROM pg_roles WHERE rolname = :role AND rolsuper
    UNION ALL
    SELECT 'makes tables' WHERE has_schema_privilege(:role, current_schema(), 'CREATE')
    UNION ALL
    SELECT 'makes schemas' WHERE has_database_privilege(:role, current_database(), 'CREATE')
    UNION ALL
    SELECT DISTINCT 'may act as ' || pg_get_userbyid(relowner) FROM pg_class
    WHERE relnamespace = current_schema()::regnamespace AND relkind IN ('r', 'p')
    AND pg_has_role(:role, relowner, 'MEMBER')
""")


def excess(connection: Connection, role: str) -> list[str]:
    """What a role may do on PostgreSQL beyond what `grant` gives it."""
    who = {"role": role}
    held = connection.execute(_RIGHTS, who)
    more = [f"{right.lower()} on {name}" for name, right in held if right not in RIGHTS.get(name, ())]
    return [*connection.execute(_OTHERS, who).scalars(), *more]
