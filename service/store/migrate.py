"""Bringing a database to this version's tables, once, however many processes start at the same time."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import ProgrammingError

import service
from service.store.away import is_forbidden
from service.store.engine import LOCK_TIMEOUT_MS, reading, unhurried, writing

MIGRATION_KEY = 0x626F_6172_6466_0002
"""The advisory lock of migrating on PostgreSQL."""


class NoMigrations(Exception):
    """The folder `migrations` is neither beside the package nor where the program was started."""


class UnknownRevision(Exception):
    """The database was migrated by another version of the service that this one does not know."""


class NotTheOwner(Exception):
    """The database has not the tables of this version, and the user may not make them."""


class _Revisions(NamedTuple):
    """Those of this version."""

    newest: str | None
    all: frozenset[str]


def to_head(engine: Engine) -> None:
    """Migrate to the newest tables, or see that nothing is to be done.

    Raises UnknownRevision or NotTheOwner, and then nothing was touched; NoMigrations.
    """
    try:
        _to_head(engine, _revisions(migrations_folder()))
    except ProgrammingError as refusal:
        if not is_forbidden(refusal):
            raise
        raise NotTheOwner(
            "the database has not the tables of this version, or gives this user no right to them: let their "
            "owner run 'migrate --grant-to ROLE'"
        ) from refusal


def _to_head(engine: Engine, ours: _Revisions) -> None:
    with reading(engine) as connection:
        if _is_at_head(connection, ours):
            return
    with writing(engine) as connection, unhurried(connection):
        if engine.dialect.name == "postgresql":
            _wait_for_others(connection)
        # Another process may have migrated while this one waited for the lock.
        if not _is_at_head(connection, ours):
            run(connection, "upgrade", "head")


def _wait_for_others(connection: Connection) -> None:
    """For as long as they migrate; what the migration itself locks is waited for no longer than usual."""
    connection.execute(text("SET LOCAL lock_timeout = 0"))
    connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": MIGRATION_KEY})
    connection.execute(text(f"SET LOCAL lock_timeout = {LOCK_TIMEOUT_MS}"))


def is_at_head(engine: Engine) -> bool:
    """Whether the tables are those of this version. Raises as `to_head` does."""
    with reading(engine) as connection:
        return _is_at_head(connection, _revisions(migrations_folder()))


def newest() -> str | None:
    """The revision of this version's tables."""
    return _revisions(migrations_folder()).newest


def migrations_folder() -> Path:
    """Beside the package in a checkout; else, for an installed package, where the program was started."""
    beside = Path(service.__file__).resolve().parent.parent / "migrations"
    for folder in (beside, Path.cwd() / "migrations"):
        if (folder / "env.py").is_file():
            return folder
    raise NoMigrations(f"no migrations in {beside} nor in the working folder")


def _config(folder: Path) -> Config:
    config = Config()
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    return config


@cache
def _revisions(folder: Path) -> _Revisions:
    """Read once: whoever looks whether the service is ready asks every second."""
    scripts = ScriptDirectory.from_config(_config(folder))
    return _Revisions(
        scripts.get_current_head(), frozenset(each.revision for each in scripts.walk_revisions())
    )


def _is_at_head(connection: Connection, ours: _Revisions) -> bool:
    # The library makes a new table of its own each time: kept compiled, each look would cost memory for good.
    uncached = connection.execution_options(compiled_cache=None)
    revision = MigrationContext.configure(uncached).get_current_revision()
    if revision is not None and revision not in ours.all:
        raise UnknownRevision(
            f"the database is at revision {revision}, which this version does not know: run the version that "
            "made it, or a later one"
        )
    return revision == ours.newest


def run(connection: Connection, direction: str, revision: str) -> None:
    """Let alembic `upgrade` or `downgrade` to a revision, in the transaction of the connection."""
    config = _config(migrations_folder())
    config.attributes["connection"] = connection
    getattr(command, direction)(config, revision)
