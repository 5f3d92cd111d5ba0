"""The options of `import`, and what its help says of the columns."""

from __future__ import annotations

import argparse
from pathlib import Path

from service.files.rows import Form
from service.usecases.importing.columns import Columns
from service.usecases.importing.source import Subject, columns_of

PLACES = "\n  and one for each place of a board, such as main or bumper.left: see --columns"


def add_options(one: argparse.ArgumentParser) -> None:
    """The options, equal for each kind of file."""
    one.add_argument("file", type=Path, nargs="?", metavar="FILE", help="in UTF-8; - is standard input")
    add_format(one)
    flag(one, "--all-or-nothing", "write nothing if any line is refused; others cannot write meanwhile")
    flag(one, "--dry-run", "do all the work, tell of it, and write nothing")
    told = "write what was refused there as well, as NDJSON"
    one.add_argument("--report", type=Path, metavar="FILE", help=told)
    flag(one, "--quiet", "show no progress")
    flag(one, "--columns", "list the columns under the catalogue in force, and stop")


def add_format(one: argparse.ArgumentParser) -> None:
    """How the file is written."""
    told = "csv or ndjson; else the name of the file tells"
    one.add_argument("--format", type=Form, choices=list(Form), metavar="FORMAT", help=told)


def flag(one: argparse.ArgumentParser, name: str, told: str) -> None:
    """An option that is on or off."""
    one.add_argument(name, action="store_true", help=told)


def described(subject: Subject) -> str:
    """What the help of a kind of file says."""
    places = PLACES if subject is Subject.UNITS else ""
    return (
        f"Take {subject.value} in from a CSV or NDJSON file, one on each line. Lines that are refused are\n"
        "told of, all others are taken in. A line that was taken in before is not taken in twice: import\n"
        "a file again after it was mended, or after whatever stopped it.\n\n"
        f"columns, in any order and case:\n{listed(columns_of(subject, None))}{places}"
    )


def listed(columns: Columns) -> str:
    """Each column with its meaning."""
    width = max(map(len, columns.names))
    needed = {True: " (needed)", False: ""}
    return "\n".join(f"  {each.name:{width}}  {each.told}{needed[each.required]}" for each in columns.all)
