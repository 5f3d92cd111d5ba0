"""A SQLite database copied while it is in use, and put back: whole or not at all.

The copy is taken through SQLite's own backup interface, inside a read transaction: it is the database of one
moment, writers go on meanwhile, and it need not begin again for them. It is written under another name and
moved into place when it is on the disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from service.files.whole import remove, under_way

PAGES = 1_024
"""Copied at a time."""

BESIDE = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file while it is open, or after a crash."""

IN_USE_SECONDS = 2.0
"""How long others may take to let go of a database before it counts as in use."""

Moved = Callable[[int, int], None]
"""Told how many pages are copied, of how many."""

MOVE = "move it away, with what stands beside it (-wal, -shm), if you mean to give it up"
ANOTHER = "look which file was meant"


class Refused(Exception):
    """Why nothing was written; the message says what to do."""


class Age(NamedTuple):
    """How far a database has come. Each part only grows, for what is recorded is never deleted."""

    events: int
    catalogues: int
    changes_of_keys: int


def back_up(database: Path, copy: Path, moved: Moved) -> None:
    """Copy a database into a new file. Raises Refused, or what SQLite raises."""
    refuse_to_write_over(copy)
    with closing(_opened(database)) as source, under_way(copy, BESIDE) as unfinished:
        source.execute("BEGIN")
        _age(source, database)
        _copy(source, unfinished, moved)


def refuse_to_write_over(copy: Path) -> None:
    """Raises Refused for a name that is taken."""
    if copy.exists():
        raise Refused(f"{copy} is there already: a backup is never written over, choose another name")


def put_back(copy: Path, database: Path, moved: Moved, check: Callable[[Path], None]) -> None:
    """Put a backup in a database's place, once `check` has seen the new file and raised nothing.

    A database that is there is replaced only if nobody uses it and the backup holds all that it holds.
    Raises Refused, what `check` raises, or what SQLite raises; then the database is as it was.
    """
    with closing(_opened(copy)) as source:
        if database.exists() and database.samefile(copy):
            raise Refused(f"{copy} is the database itself and no backup of it: {ANOTHER}")
        source.execute("BEGIN")
        offered = _age(source, copy)
        with _nobody_else(database, source, offered), under_way(database, BESIDE) as unfinished:
            _copy(source, unfinished, moved)
            check(unfinished)
            # What stands beside the old file is of no use to the new one, and would harm it.
            remove(database, BESIDE)


@contextmanager
def _nobody_else(database: Path, backup: sqlite3.Connection, offered: Age) -> Iterator[None]:
    """Keeps others out of a database that is about to be replaced, where that may be."""
    if not database.exists():
        left = [beside.name for beside in _beside(database) if beside.exists()]
        if left:
            raise Refused(
                f"{' and '.join(left)} are left of a database that is gone, and may hold its last events: "
                "move them away together with its file"
            )
        yield
        return
    with closing(_opened(database)) as old:
        _take_over(database, old)
        there = _age(old, database, MOVE)
        _refuse_newer(database, there, offered)
        if _event(old, there.events) != _event(backup, there.events):
            raise Refused(f"{database} holds another ledger than the backup; {MOVE}")
        yield


def _take_over(database: Path, old: sqlite3.Connection) -> None:
    """Only who is alone can leave the write-ahead log, and who has done so keeps the others out."""
    try:
        old.execute("PRAGMA locking_mode=EXCLUSIVE")
        old.execute("PRAGMA journal_mode=DELETE")
        old.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError:
        raise Refused(f"{database} is in use: stop whatever has it open, the server first") from None
    except sqlite3.DatabaseError as error:
        raise _no_database(database, error, MOVE) from None


def _refuse_newer(database: Path, there: Age, offered: Age) -> None:
    if any(mine > theirs for mine, theirs in zip(there, offered, strict=True)):
        raise Refused(f"{database} is newer than the backup: {_beyond(there, offered)}; {MOVE}")


def _beyond(there: Age, offered: Age) -> str:
    named = zip(("events", "catalogues", "changes of keys"), there, offered, strict=True)
    return ", ".join(f"{mine:,} {what} against {theirs:,}" for what, mine, theirs in named if mine > theirs)


def _age(connection: sqlite3.Connection, file: Path, mend: str = ANOTHER) -> Age:
    """Raises Refused for what is no database of ours."""
    columns = {"events": "seq", "catalogue_revisions": "number", "keys": "changed"}
    asked = ", ".join(
        f"(SELECT coalesce(max({column}), 0) FROM {table})"  # noqa: S608 - the names are those above
        for table, column in columns.items()
    )
    try:
        return Age(*connection.execute(f"SELECT {asked}").fetchone())
    except sqlite3.DatabaseError as error:
        raise _no_database(file, error, mend) from None


def _no_database(file: Path, error: sqlite3.DatabaseError, mend: str) -> Refused:
    return Refused(f"{file} is no database of the service, or a damaged one ({error}): {mend}")


def _event(connection: sqlite3.Connection, number: int) -> tuple[object, ...] | None:
    """An event as it was recorded: two ledgers that have it are the same one up to there."""
    found: tuple[object, ...] | None = connection.execute(
        "SELECT * FROM events WHERE seq = ?", (number,)
    ).fetchone()
    return found


def _opened(database: Path) -> sqlite3.Connection:
    """A connection to a file that is there. Raises Refused."""
    if not database.is_file():
        raise Refused(f"there is no file {database}")
    return sqlite3.connect(
        f"{database.absolute().as_uri()}?mode=rw", uri=True, timeout=IN_USE_SECONDS, isolation_level=None
    )


def _copy(source: sqlite3.Connection, unfinished: Path, moved: Moved) -> None:
    """A sound file of its own, with nothing beside it. Raises Refused."""
    with closing(sqlite3.connect(unfinished, isolation_level=None)) as target:
        source.backup(target, pages=PAGES, progress=lambda _, left, all_: moved(all_ - left, all_))
        # A file that keeps a write-ahead log is two files.
        target.execute("PRAGMA journal_mode=DELETE")
        told = [row[0] for row in target.execute("PRAGMA integrity_check")]
    if told != ["ok"]:
        raise Refused(f"what was copied is damaged, and nothing was kept: {told[0]}")


def _beside(file: Path) -> Iterator[Path]:
    return (file.with_name(f"{file.name}{suffix}") for suffix in BESIDE)
