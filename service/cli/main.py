"""The commands and their options."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, Never

from sqlalchemy.exc import DBAPIError

from service import __version__
from service.cli.collecting import rare_collections
from service.cli.errors import UsageError
from service.settings import SettingsError, documented, from_environment
from service.store.away import is_forbidden
from service.store.migrate import NoMigrations, NotTheOwner, UnknownRevision

USAGE = 2
"""The exit status of an error of use."""
INTERRUPTED = 130
COMMANDS = (
    ("demo", "demo", "make the demo's world, serve it and ask it four questions"),
    ("serve", "serve", "serve the settings' database"),
    ("settings", "settings", "show the settings in force"),
    ("check", "check", "answer one question here"),
    ("catalogue", "catalogue", "check or publish a catalogue file"),
    ("import", "importing", "take boards, units or events in from a file"),
    ("export", "exporting", "write boards, units or events to a file"),
    ("keys", "keys", "make, list, rotate and revoke keys"),
    ("migrate", "migrate", "bring the database to this version's tables"),
    ("backup", "backup", "copy the database into a file, while servers go on"),
    ("restore", "restore", "put a backup in the database's place"),
    ("verify", "verify", "check that the database holds a sound ledger"),
    ("rebuild", "rebuild", "make what is kept of boards and units anew from the events"),
    ("openapi", "openapi", "write openapi.yaml from the code"),
)
"""Each with its module, whose `add` makes the options, and what it is for."""
ONE_LINE = (UsageError, SettingsError, NoMigrations, NotTheOwner, UnknownRevision)
"""Errors whose message is all that the person at the terminal needs."""


class _Parser(argparse.ArgumentParser):
    """Tells an error in one line; the usage stands in the help. Options are written out in full."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{**options, "allow_abbrev": False})

    def error(self, message: str) -> Never:
        raise UsageError(f"{message} (see {self.prog} --help)")


class _Command(_Parser):
    """One command. Its module is loaded when it is the one that was given: no command needs all of them."""

    def __init__(self, *, module: str | None = None, **options: Any) -> None:
        super().__init__(**options)
        self._module = module

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        module, self._module = self._module, None
        if module is not None:
            with rare_collections():  # which are a sixth of the time that loading takes, and find nothing
                import_module(f"service.cli.{module}").add(self)
        return super().parse_known_args(args, namespace)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; the exit status: 0 done, 1 something in a file was refused, 2 an error of use."""
    try:
        given = _parser().parse_args(arguments)
        status: int = given.run(given, from_environment(os.environ))
    except ONE_LINE as error:
        print(f"error: {error}", file=sys.stderr)
        return USAGE
    except DBAPIError as error:
        what = "refuses" if is_forbidden(error) else "does not answer"
        print(f"error: the database {what}: {str(error.orig).splitlines()[0]}", file=sys.stderr)
        return USAGE
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the output has seen enough; what is still buffered has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return INTERRUPTED
    return status


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="python -m service",
        description="Which board goes into which machine, what must be programmed, and what it can do then.",
        epilog=_settings(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"boardfit {__version__}")
    commands = parser.add_subparsers(
        title="commands", metavar="COMMAND", required=True, parser_class=_Command
    )
    for name, module, told in COMMANDS:
        commands.add_parser(name, module=module, help=told)
    return parser


def _settings() -> str:
    rows = [f"  {name} ({default})\n      {meaning}" for name, default, meaning in documented()]
    return "settings, from the environment or a settings file, with their defaults:\n" + "\n".join(rows)
