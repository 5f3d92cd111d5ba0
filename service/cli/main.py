"""The commands and their options."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from typing import Any, Never

from sqlalchemy.exc import DBAPIError

from service import __version__
from service.cli import (
    backup,
    catalogue,
    check,
    demo,
    exporting,
    importing,
    keys,
    migrate,
    openapi,
    rebuild,
    serve,
    settings,
    verify,
)
from service.cli.errors import UsageError
from service.settings import SettingsError, documented, from_environment
from service.store.away import is_forbidden
from service.store.migrate import NoMigrations, NotTheOwner, UnknownRevision

USAGE = 2
"""The exit status of an error of use."""
INTERRUPTED = 130
MODULES = (
    demo,
    serve,
    settings,
    check,
    catalogue,
    importing,
    exporting,
    keys,
    migrate,
    backup,
    verify,
    rebuild,
    openapi,
)
ONE_LINE = (UsageError, SettingsError, NoMigrations, NotTheOwner, UnknownRevision)
"""Errors whose message is all that the person at the terminal needs."""


class _Parser(argparse.ArgumentParser):
    """Tells an error in one line; the usage stands in the help. Options are written out in full."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{**options, "allow_abbrev": False})

    def error(self, message: str) -> Never:
        raise UsageError(f"{message} (see {self.prog} --help)")


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
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for module in MODULES:
        module.add(commands)
    return parser


def _settings() -> str:
    rows = [f"  {name} ({default})\n      {meaning}" for name, default, meaning in documented()]
    return "settings, from the environment or a settings file, with their defaults:\n" + "\n".join(rows)
