"""The database that a command works on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Engine, make_url

from service.cli.errors import UsageError
from service.settings import Settings
from service.store import migrate
from service.store.engine import open_engine
from service.wiring import open_database


@contextmanager
def as_it_is(settings: Settings) -> Iterator[Engine]:
    """The database with the tables that it has. Raises UsageError for one that is not there or not of this
    version."""
    _must_be_there(settings.database_url)
    engine = open_engine(settings.database_url)
    try:
        if not migrate.is_at_head(engine):
            raise UsageError(
                "the database has not the tables of this version: bring it up to date with 'migrate'"
            )
        yield engine
    finally:
        engine.dispose()


@contextmanager
def opened(settings: Settings, *, must_exist: bool) -> Iterator[Engine]:
    """The database at this version. Raises UsageError for a SQLite file that has to be there and is not."""
    if must_exist:
        _must_be_there(settings.database_url)
    engine = open_database(settings)
    try:
        yield engine
    finally:
        engine.dispose()


def _must_be_there(database_url: str) -> None:
    url = make_url(database_url)
    if url.get_backend_name() == "sqlite" and not Path(url.database or "").is_file():
        raise UsageError(
            f"there is no database {url.database}: publish a catalogue first with 'catalogue publish FILE', "
            "or name another database in BOARDFIT_DATABASE_URL; 'check' can ask the demo's with --demo"
        )
