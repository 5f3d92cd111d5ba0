"""`serve`: the server, in this process and its workers."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

from service.cli.databases import opened
from service.cli.errors import UsageError
from service.cli.silence import give_up_the_silent
from service.settings import Settings
from service.usecases.keys import listed_keys
from service.wiring import make_app

MEMORY = Path("/dev/shm")  # noqa: S108 - a heartbeat file in memory: a slow disk must not look like a dead worker


def add(commands: Any) -> None:
    """The command's options."""
    parser = commands.add_parser(
        "serve",
        help="serve the settings' database",
        description="Serve the database of the settings until stopped.",
    )
    parser.add_argument("--port", type=port, help="instead of BOARDFIT_PORT")
    parser.add_argument("--quiet", action="store_true", help="log warnings only")
    parser.set_defaults(run=run)


def port(text: str) -> int:
    """A port number."""
    if not (text.isascii() and text.isdigit() and 0 < int(text) < 65536):
        raise argparse.ArgumentTypeError(f"{text!r} is no port: give a number from 1 to 65535")
    return int(text)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Migrate once, then serve."""
    settings = replace(settings, port=given.port) if given.port else settings
    with opened(settings, must_exist=False) as engine:
        if not listed_keys(engine):
            print("nobody can ask yet: make a key with 'keys make OWNER --scope ask'", file=sys.stderr)
    serve(settings, log_level="warning" if given.quiet else "info")
    return 0


def serve(settings: Settings, *, log_level: str) -> None:
    """Run the server until it is told to stop. Raises UsageError where processes cannot fork."""
    try:
        from gunicorn.app.base import BaseApplication  # type: ignore[import-untyped] # noqa: PLC0415 - it cannot even be imported everywhere
    except ImportError as error:
        raise UsageError(f"the server needs a system whose processes can fork ({error})") from None

    class Server(BaseApplication):  # type: ignore[misc] # the library carries no types
        def load_config(self) -> None:
            for name, value in {**options(settings), "loglevel": log_level}.items():
                self.cfg.set(name, value)

        def load(self) -> Any:
            return make_app(settings)

    Server().run()


def options(settings: Settings) -> dict[str, Any]:
    """The server's own settings."""
    shown = {"worker_tmp_dir": str(MEMORY)} if MEMORY.is_dir() else {}
    return {
        "bind": f"{settings.host}:{settings.port}",
        "worker_class": "gthread",
        "workers": settings.workers,
        "threads": settings.threads,
        "timeout": 60,
        "graceful_timeout": 25,
        # Workers are replaced now and then, not all at once, so that a slow leak never becomes a fault.
        "max_requests": 100_000,
        "max_requests_jitter": 20_000,
        "control_socket_disable": True,
        "preload_app": False,
        "when_ready": give_up_the_silent,
        **shown,
    }
