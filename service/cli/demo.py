"""`demo`: the demo's world, a real server, four questions over HTTP, and the answers in plain words."""

from __future__ import annotations

import argparse
import os
import shlex
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.error import URLError
from urllib.request import Request, urlopen

from service.cli.demo_database import DEMO_FILE, of_demo
from service.cli.errors import UsageError
from service.cli.serve import port
from service.demo.keys import DEMO_KEYS, STAFF_KEY
from service.demo.questions import TYPICAL, Call
from service.settings import Settings

HOST = "127.0.0.1"
AS_TEXT = "-H 'Accept: text/plain'"
WITH_KEY = '-H "Authorization: Bearer $KEY"'
PATIENCE = 30.0
"""Seconds in which the server has to be ready."""


def add(parser: argparse.ArgumentParser) -> None:
    """The command's options."""
    parser.description = (
        f"Make (or reuse) {DEMO_FILE}, serve it, ask four typical questions, print the answers."
    )
    parser.add_argument("--port", type=port, default=8000, help="the port to serve on (8000)")
    parser.add_argument("--once", action="store_true", help="stop after the answers")
    parser.set_defaults(run=run)


def run(given: argparse.Namespace, settings: Settings) -> int:
    """Ask and print; then serve until Ctrl-C, unless `--once`."""
    _must_be_free(given.port)
    demo = of_demo(settings, DEMO_FILE.absolute())
    with _server(demo.database_url, given.port) as server:
        base = f"http://{HOST}:{given.port}"
        _wait(server, base)
        _show_keys()
        for call in TYPICAL:
            _show(base, call)
        if not given.once:
            print(
                f"Serving the demo at {base} (documentation: {base}/docs). Ctrl-C stops it.",
                flush=True,
            )
            server.wait()
    return 0


def _must_be_free(number: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, number))
        except OSError:
            raise UsageError(f"port {number} is in use: choose another with --port") from None


@contextmanager
def _server(database_url: str, number: int) -> Iterator[subprocess.Popen[bytes]]:
    """A server of its own, stopped at the end whatever happens."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("BOARDFIT_")}
    environment |= {
        "BOARDFIT_DATABASE_URL": database_url,
        "BOARDFIT_HOST": HOST,
        "BOARDFIT_PORT": str(number),
    }
    root = str(Path(__file__).resolve().parents[2])
    environment["PYTHONPATH"] = os.pathsep.join(filter(None, (root, os.environ.get("PYTHONPATH"))))
    for stop in (signal.SIGTERM, signal.SIGHUP):
        # Whoever stops this process means the server too, and an exception reaches the end below.
        signal.signal(stop, lambda *_: sys.exit(128 + signal.SIGTERM))
    server = subprocess.Popen(
        [sys.executable, "-m", "service", "serve", "--quiet"], env=environment, start_new_session=True
    )
    try:
        yield server
    finally:
        server.terminate()
        server.wait()


def _wait(server: subprocess.Popen[bytes], base: str) -> None:
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if server.poll() is not None:
            raise UsageError("the server did not start: run 'serve' to see why")
        try:
            with urlopen(f"{base}/readyz", timeout=2):  # noqa: S310 - our own server
                return
        except (URLError, OSError):
            time.sleep(0.05)
    raise UsageError(f"the server was not ready after {PATIENCE:.0f} seconds")


def _show_keys() -> None:
    """Every key of the demo, and the line that lets the curl lines below be copied."""
    print("The demo's keys, which everybody knows:\n")
    for key in DEMO_KEYS:
        scopes = ", ".join(key.scopes) + (" (public)" if key.public else "")
        print(f"  {key.written}\n      {key.asks}: {scopes}")
    print(f"\n$ KEY={STAFF_KEY}\n\n{'-' * 78}\n", flush=True)


def _show(base: str, call: Call) -> None:
    url = f"{base}{call.target}"
    headers = {"Accept": "text/plain", "Authorization": f"Bearer {STAFF_KEY}"}
    asked = Request(url, headers=headers)  # noqa: S310 - our own server
    with urlopen(asked, timeout=10) as response:  # noqa: S310 - our own server
        answer = response.read().decode()
    print(
        f"# {call.asks}\n$ curl {AS_TEXT} {WITH_KEY} {shlex.quote(url)}\n\n{answer}\n{'-' * 78}\n",
        flush=True,
    )
