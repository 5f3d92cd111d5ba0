"""Bringing a database to this version's tables, once, however many processes start at the same time."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text
from sqlalchemy.exc import ProgrammingError

import service
from service.store.away import is_forbidden
from service.store.engine import LOCK_TIMEOUT_MS, reading, unhurried, writing

NEWEST = "0007"
"""The revision of this version's tables. It is told here too, so that a database that has them, as nearly
every one that is opened does, is known without what migrates: alembic takes long to load."""

MIGRATION_KEY = 0x626F_6172_6466_0002
"""The advisory lock of migrating on PostgreSQL."""


class NoMigrations(Exception):
    """The folder `migrations` is neither beside the package nor where the program was started."""


class UnknownRevision(Exception):
    """The database was migrated by another version of the service that this one does not know."""


class NotTheOwner(Exception):
    """The database has not the tables of this version, and the user may not make them."""


def to_head(engine: Engine) -> None:
    """Migrate to the newest tables, or see that nothing is to be done.

    Raises UnknownRevision or NotTheOwner, and then nothing was touched; NoMigrations.
    """
    try:
        _to_head(engine)
    except ProgrammingError as refusal:
        if not is_forbidden(refusal):
            raise
        raise NotTheOwner(
            "the database has not the tables of this version, or gives this user no right to them: let their "
            "owner run 'migrate --grant-to ROLE'"
        ) from refusal


def _to_head(engine: Engine) -> None:
    with reading(engine) as connection:
        if _is_at_head(connection):
            return
    with writing(engine) as connection, unhurried(connection):
        if engine.dialect.name == "postgresql":
            _wait_for_others(connection)
        # Another process may have migrated while this one waited for the lock.
        if not _is_at_head(connection):
            run(connection, "upgrade", "head")


def _wait_for_others(connection: Connection) -> None:
    """For as long as they migrate; what the migration itself locks is waited for no longer than usual."""
    connection.execute(text("SET LOCAL lock_timeout = 0"))
    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": MIGRATION_KEY})
    connection.execute(text(f"SET LOCAL lock_timeout = {LOCK_TIMEOUT_MS}"))


def is_at_head(engine: Engine) -> bool:
    """Whether the tables are those of this version. Raises as `to_head` does."""
    with reading(engine) as connection:
        return _is_at_head(connection)


def migrations_folder() -> Path:
    """Beside the package in a checkout; else, for an installed package, where the program was started."""
    beside = Path(service.__file__).resolve().parent.parent / "migrations"
    for folder in (beside, Path.cwd() / "migrations"):
        if (folder / "env.py").is_file():
            return folder
    raise NoMigrations(f"no migrations in {beside} nor in the working folder")


def _is_at_head(connection: Connection) -> bool:
    revision = _revision(connection)
    if revision in {None, NEWEST}:
        return revision is not None
    from service.store.scripts import known  # noqa: PLC0415 - see NEWEST

    if revision not in known(migrations_folder()):
        raise UnknownRevision(
            f"the database is at revision {revision}, which this version does not know: run the version that "
            "made it, or a later one"
        )
    return False


def _revision(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()


def run(connection: Connection, direction: str, revision: str) -> None:
    """Let alembic `upgrade` or `downgrade` to a revision, in the transaction of the connection."""
    from service.store.scripts import run as run_scripts  # noqa: PLC0415 - see NEWEST

    run_scripts(migrations_folder(), connection, direction, revision)
