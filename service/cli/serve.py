"""`serve`: the server, in this process and its workers."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from typing import Any

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.server.app import served_app
from service.server.options import options
from service.settings import Settings
from service.usecases.keys import listed_keys


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = "Serve the database of the settings until stopped."
    parser.add_argument("--port", type=port, help="instead of BOARDFIT_PORT")
    parser.add_argument("--quiet", action="store_true", help="log what goes wrong, and not every request")
    parser.set_defaults(run=run)


def port(text: str) -> int:
    """A port number."""
    if not (text.isascii() and text.isdigit() and 0 < int(text) < 65536):
        raise argparse.ArgumentTypeError(f"{text!r} is no port: give a number from 1 to 65535")
    return int(text)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Migrate once, then serve."""
    settings = replace(
        settings,
        port=given.port or settings.port,
        log_level="warning" if given.quiet and settings.log_level == "info" else settings.log_level,
    )
    with opened(settings, must_exist=False) as engine:
        if not listed_keys(engine):
            print("nobody can ask yet: make a key with 'keys make OWNER --scope ask'", file=sys.stderr)
    serve(settings)
    return 0


def serve(settings: Settings) -> None:
    """Run the server until it is told to stop. Raises UsageError where processes cannot fork."""
    try:
        from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped] # noqa: PLC0415 - it cannot even be imported everywhere
    except ImportError as error:
        raise UsageError(f"the server needs a system whose processes can fork ({error})") from None

    class Server(BaseApplication):  # type: ignore[misc] # the library carries no types
        def load_config(self) -> None:
            for name, value in options(settings).items():
                self.cfg.set(name, value)

        def load(self) -> Any:
            return served_app(settings)

    Server().run()
