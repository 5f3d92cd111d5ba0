"""`verify`: whether the database holds a sound ledger."""

from __future__ import annotations

import argparse
import sys

from sqlalchemy import Engine

from service.cli.databases import as_it_is
from service.cli.progress import shown
from service.settings import Settings
from service.store.engine import snapshot, unhurried
from service.store.verifying import Size, size, verified

MOST_TOLD = 50
"""Faults that are told one by one; the others are counted."""

UNSOUND = 1
MEND = (
    "rows of boards, units and vacancies that are missing or wrong are made anew by 'rebuild'; for all else "
    "restore a backup"
)


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        "Check the whole database, while servers go on: SQLite's own check of its file, the "
        "triggers that keep the ledger as it is, event numbers without gaps and in order of time, each event "
        "with those it speaks of, bindings and versions, catalogue texts, and that what is kept of every "
        "board and unit is what its events lead to. Nothing is changed. Run it after a restore, a crash or "
        "a move. The status is 1 where something is wrong."
    )
    parser.add_argument("--quiet", action="store_true", help="show no progress")
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Tell every fault, or how much was looked at."""
    with as_it_is(settings) as engine:
        status = tell_soundness(engine, quiet=given.quiet)
    if status == UNSOUND:
        print(MEND, file=sys.stderr)
    return status


def tell_soundness(engine: Engine, *, quiet: bool) -> int:
    """Look at everything; the exit status."""
    faults = 0
    with snapshot(engine) as connection, unhurried(connection):
        there = size(connection)
        with shown("verified", there.length, quiet=quiet) as progress:
            for fault in verified(
                connection, lambda done: progress.at(done, f"{done:,} of {there.length:,}")
            ):
                faults += 1
                if faults <= MOST_TOLD:
                    progress.say(f"fault: {fault}")
    if faults:
        more = f" ({faults - MOST_TOLD:,} more than are told here)" if faults > MOST_TOLD else ""
        print(f"unsound: {faults:,} faults{more} in {_told(there)}", file=sys.stderr)
        return UNSOUND
    print(f"sound: {_told(there)}")
    return 0


def _told(there: Size) -> str:
    return f"{there.events:,} events, {there.boards:,} boards, {there.units:,} units"
