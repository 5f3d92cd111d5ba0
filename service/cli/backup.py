"""`backup`: a database into one file."""

from __future__ import annotations

import argparse
import sqlite3
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import make_url

from service.cli.errors import UsageError
from service.cli.progress import Progress, shown
from service.settings import Settings
from service.settings.values import masked
from service.store import dump
from service.store.backup import Refused, back_up

PERCENT = 100


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        "Copy the settings' database, as it is at one moment, into a new file; servers go on. A SQLite "
        "database becomes a checked SQLite file, a PostgreSQL one a file of pg_dump, which has to be on "
        "this machine. The file is there when it is whole, and not before; one that is there already is "
        "never written over."
    )
    add_options(parser)
    parser.set_defaults(run=run)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Those of `restore` too."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the backup")
    parser.add_argument("--quiet", action="store_true", help="show no progress")


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Write the file."""
    url = make_url(settings.database_url)
    try:
        if url.get_backend_name() == "sqlite":
            with shown("copied", PERCENT, quiet=given.quiet) as progress:
                back_up(Path(url.database or ""), given.file, pages(progress))
        else:
            dump.dump(settings.database_url, given.file)
    except Refused as refusal:
        raise UsageError(str(refusal)) from None
    except OSError as error:
        raise UsageError(f"cannot write {given.file}: {error.strerror}") from None
    except sqlite3.Error as error:
        raise UsageError(f"cannot copy {url.database} to {given.file}: {error}") from None
    print(f"{given.file}: {given.file.stat().st_size:,} bytes, a copy of {named(settings)}")
    return 0


def pages(progress: Progress) -> Callable[[int, int], None]:
    """Tells of the pages that were copied."""

    def moved(done: int, of_all: int) -> None:
        percent = PERCENT * done // max(of_all, 1)
        progress.at(percent, f"{percent} % of {of_all:,} pages")

    return moved


def named(settings: Settings) -> str:
    """The settings' database, as it is told of."""
    url = make_url(settings.database_url)
    return str(url.database) if url.get_backend_name() == "sqlite" else masked(settings.database_url)
