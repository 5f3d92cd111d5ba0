"""`rebuild`: what is kept of boards and units, made anew from the events."""

from __future__ import annotations

import argparse

from service.cli.databases import as_it_is
from service.cli.errors import UsageError
from service.cli.verify import tell_soundness
from service.settings import Settings
from service.store.engine import unhurried, writing
from service.store.rebuild import rebuild
from service.store.verified_events import UNREADABLE, Progress, event_faults

UNSOUND_EVENTS = (
    "the events themselves have faults, and nothing was changed: 'verify' tells them; restore a backup"
)


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        "Empty the tables that keep the states of boards and units, fill them from the events, "
        "and verify the whole database. All of it is done or nothing, and nothing where the events are wrong "
        "themselves. Events, bindings, keys and catalogues stay as they are. Servers go on answering; who "
        "wants to record meanwhile is told to come again. The status is 1 where something is still wrong."
    )
    parser.add_argument("--quiet", action="store_true", help="show no progress")
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Rebuild, then tell what is still wrong, or how much was looked at."""
    with as_it_is(settings) as engine:
        try:
            with writing(engine) as connection, unhurried(connection):
                # Of events that are wrong themselves, wrong states would be made in the place of right ones.
                if any(event_faults(connection, Progress(lambda _: None))):
                    raise UsageError(UNSOUND_EVENTS)
                rebuild(connection)
        except UNREADABLE:
            raise UsageError(UNSOUND_EVENTS) from None
        return tell_soundness(engine, quiet=given.quiet)
