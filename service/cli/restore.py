"""`restore`: a backup back into the database's place."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from sqlalchemy import Engine, make_url

from service.cli.backup import PERCENT, add_options, named, pages
from service.cli.errors import UsageError
from service.cli.progress import shown
from service.cli.verify import UNSOUND, tell_soundness
from service.settings import Settings
from service.store import dump, migrate
from service.store.backup import Refused, put_back
from service.store.engine import open_engine


class _Unsound(Exception):
    """The backup holds a ledger that is not sound."""


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        "Put a backup in the place of the settings' database, brought to this version's tables and "
        "verified as by 'verify'. A SQLite backup gets there only if it is sound, and a database that is "
        "there is replaced only if nobody has it open and the backup holds everything that it holds; else"
        " nothing is changed. A PostgreSQL database must be empty, and is filled whole or not at all; "
        "grant the service's role its rights again afterwards ('migrate --grant-to')."
    )
    add_options(parser)
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Put the backup in place."""
    url = make_url(settings.database_url)
    try:
        if url.get_backend_name() == "sqlite":
            _restore_file(given, Path(url.database or ""))
        else:
            _restore_dump(given, settings.database_url)
    except Refused as refusal:
        raise UsageError(str(refusal)) from None
    except _Unsound:
        return UNSOUND
    except OSError as error:
        raise UsageError(f"cannot write {url.database}: {error.strerror}") from None
    except sqlite3.Error as error:
        raise UsageError(f"cannot copy {given.file} to {url.database}: {error}") from None
    print(f"{named(settings)} is restored from {given.file}")
    return 0


def _restore_file(given: argparse.Namespace, database: Path) -> None:
    with ExitStack() as copying:
        progress = copying.enter_context(shown("copied", PERCENT, quiet=given.quiet))

        def check(file: Path) -> None:
            copying.close()  # the next bar has the line to itself
            with _engine(f"sqlite:///{file}") as engine:
                _at_head_and_sound(engine, quiet=given.quiet)

        put_back(given.file, database, pages(progress), check)


def _restore_dump(given: argparse.Namespace, database_url: str) -> None:
    with _engine(database_url) as engine:
        dump.load(engine, database_url, given.file)
        _at_head_and_sound(engine, quiet=given.quiet)


def _at_head_and_sound(engine: Engine, *, quiet: bool) -> None:
    migrate.to_head(engine)
    if tell_soundness(engine, quiet=quiet):
        raise _Unsound


@contextmanager
def _engine(database_url: str) -> Iterator[Engine]:
    engine = open_engine(database_url)
    try:
        yield engine
    finally:
        engine.dispose()
