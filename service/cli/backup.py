"""`backup` and `restore`: a database into one file, and back."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, make_url

from service.cli.errors import UsageError
from service.cli.progress import Progress, shown
from service.cli.verify import UNSOUND, tell_soundness
from service.settings import Settings
from service.settings.values import masked
from service.store import dump, migrate
from service.store.backup import Refused, back_up, put_back
from service.store.engine import open_engine

PERCENT = 100

ABOUT_BACKUP = (
    "Copy the settings' database, as it is at one moment, into a new file; servers go on. A SQLite database "
    "becomes a checked SQLite file, a PostgreSQL one a file of pg_dump, which has to be on this machine. The "
    "file is there when it is whole, and not before; one that is there already is never written over."
)

ABOUT_RESTORE = (
    "Put a backup in the place of the settings' database, brought to this version's tables and verified as "
    "by 'verify'. A SQLite backup gets there only if it is sound, and a database that is there is replaced "
    "only if nobody has it open and the backup holds everything that it holds; else nothing is changed. A "
    "PostgreSQL database must be empty, and is filled whole or not at all; grant the service's role its "
    "rights again afterwards ('migrate --grant-to')."
)


class _Unsound(Exception):
    """The backup holds a ledger that is not sound."""


def add(commands: Any) -> None:
    """The two commands."""
    backup = commands.add_parser(
        "backup",
        help="copy the database into a file, while servers go on",
        description=ABOUT_BACKUP,
    )
    restore = commands.add_parser(
        "restore",
        help="put a backup in the database's place",
        description=ABOUT_RESTORE,
    )
    for parser, action in ((backup, run_backup), (restore, run_restore)):
        parser.add_argument("file", type=Path, metavar="FILE", help="the backup")
        parser.add_argument("--quiet", action="store_true", help="show no progress")
        parser.set_defaults(run=action)


def run_backup(given: argparse.Namespace, settings: Settings) -> int:
    """Write the file."""
    url = make_url(settings.database_url)
    try:
        if url.get_backend_name() == "sqlite":
            with shown("copied", PERCENT, quiet=given.quiet) as progress:
                back_up(Path(url.database or ""), given.file, _pages(progress))
        else:
            dump.dump(settings.database_url, given.file)
    except Refused as refusal:
        raise UsageError(str(refusal)) from None
    except OSError as error:
        raise UsageError(f"cannot write {given.file}: {error.strerror}") from None
    except sqlite3.Error as error:
        raise UsageError(f"cannot copy {url.database} to {given.file}: {error}") from None
    print(f"{given.file}: {given.file.stat().st_size:,} bytes, a copy of {_shown(settings)}")
    return 0


def run_restore(given: argparse.Namespace, settings: Settings) -> int:
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
    print(f"{_shown(settings)} is restored from {given.file}")
    return 0


def _restore_file(given: argparse.Namespace, database: Path) -> None:
    with ExitStack() as copying:
        progress = copying.enter_context(shown("copied", PERCENT, quiet=given.quiet))

        def check(file: Path) -> None:
            copying.close()  # the next bar has the line to itself
            with _engine(f"sqlite:///{file}") as engine:
                _at_head_and_sound(engine, quiet=given.quiet)

        put_back(given.file, database, _pages(progress), check)


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


def _pages(progress: Progress) -> Callable[[int, int], None]:
    def moved(done: int, of_all: int) -> None:
        percent = PERCENT * done // max(of_all, 1)
        progress.at(percent, f"{percent} % of {of_all:,} pages")

    return moved


def _shown(settings: Settings) -> str:
    url = make_url(settings.database_url)
    return str(url.database) if url.get_backend_name() == "sqlite" else masked(settings.database_url)
