"""A real server, `python -m service serve`, that can be killed at any moment and started again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from http.client import HTTPException
from pathlib import Path
from random import Random
from types import MappingProxyType

from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.api.calling import EXTENSION
from service.demo.making import fill
from service.store.migrate import to_head
from tests.endurance.asking import Client
from tests.endurance.crews import PATIENCE
from tests.house.tree import ROOT
from tests.support.databases import opened
from tests.support.keys import keyed_app, put_suite_key
from tests.support.launching import dying_with_us

WORKERS = 2
LOWEST, HIGHEST = 20_000, 32_000
"""The port is one that the system gives to no client: a client that is given it would talk to itself."""
PAUSE = 0.05


class Served:
    """The server of a database. It dies with the thread that starts it."""

    def __init__(
        self,
        url: str,
        log: Path,
        around: tuple[str, ...] = (),
        environment: Mapping[str, str] = MappingProxyType({}),
    ) -> None:
        self.port = free_port()
        self.program = [sys.executable, "-m", "service", "serve", "--quiet", "--port", str(self.port)]
        self._environment = _environment(url, environment)
        self._log = log
        self._around = around
        self._master: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start it and wait until it can answer."""
        self.launch()
        self.until_ready()

    def launch(self) -> None:
        """Start it."""
        with self._log.open("ab") as log:
            self._master = subprocess.Popen(
                [*self._around, *dying_with_us(os.getuid(), os.getgid()), *self.program],
                env=self._environment,
                cwd=ROOT,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,  # Ctrl-C is for whoever runs the tests, who then ends it
            )

    def until_ready(self) -> None:
        """Wait until it can answer."""
        deadline = time.monotonic() + PATIENCE
        while not self._is_ready():
            assert time.monotonic() < deadline, f"not ready in time:\n{self.said()}"
            time.sleep(PAUSE)

    @property
    def master(self) -> int:
        """The number of the process that starts the workers."""
        assert self._master is not None
        return self._master.pid

    def workers(self) -> list[int]:
        """The numbers of the workers that are alive."""
        return children(self.master)

    def kill_a_worker(self, random: Random) -> None:
        """Kill a worker, whatever it is doing; the master starts another."""
        deadline = time.monotonic() + PATIENCE
        while not (alive := self.workers()):
            assert time.monotonic() < deadline, f"no worker is started:\n{self.said()}"
            time.sleep(PAUSE)
        _kill(random.choice(alive))

    def kill_the_master(self) -> None:
        """Kill the master alone, wait until the workers notice and end, and start it all again."""
        orphans = self._kill_the_master()
        _until_gone(orphans)
        self.start()

    def stop(self) -> None:
        """Ask it to stop, as its machinery does before a new version, and start it again."""
        self.ask_to_stop()
        self.until_stopped()
        self.start()

    def ask_to_stop(self) -> None:
        """Ask it to stop, and do not wait."""
        assert self._master is not None
        self._master.terminate()

    def until_stopped(self) -> None:
        """Wait until it has stopped, as one that was asked to."""
        assert self._master is not None
        assert self._master.wait(PATIENCE) == 0, self.said()
        self._master = None

    def kill_all(self) -> None:
        """Kill all processes at once, as when a machine stops, and start them again."""
        self.end()
        self.start()

    def end(self) -> None:
        """Kill whatever is left of it."""
        if self._master is not None:
            workers = self._kill_the_master()
            for worker in workers:
                _kill(worker)
            _until_gone(workers)

    def _kill_the_master(self) -> list[int]:
        """The workers that it leaves."""
        assert self._master is not None
        self._master.send_signal(signal.SIGSTOP)  # or it would start a worker that nobody knows of
        workers = self.workers()
        self._master.kill()
        self._master.wait(PATIENCE)
        self._master = None
        return workers

    def said(self) -> str:
        """The end of its log."""
        return self._log.read_text(encoding="utf-8", errors="replace")[-3_000:]

    def _is_ready(self) -> bool:
        assert self._master is not None
        assert self._master.poll() is None, f"it ended by itself:\n{self.said()}"
        client = Client(self.port)
        try:
            return client.get("/readyz").status == 200
        except (OSError, HTTPException):
            return False
        finally:
            client.close()


@contextmanager
def served(
    url: str,
    folder: Path,
    around: tuple[str, ...] = (),
    environment: Mapping[str, str] = MappingProxyType({}),
) -> Iterator[Served]:
    """The server of a database, ready to answer; nothing of it is left at the end."""
    server = Served(url, folder / "server.log", around, environment)
    try:
        server.start()
        yield server
    finally:
        server.end()


@contextmanager
def a_shop(url: str) -> Iterator[Engine]:
    """A database with a catalogue, some history and a key."""
    with opened(url) as engine:
        to_head(engine)
        fill(engine)
        put_suite_key(engine)
        yield engine


@contextmanager
def in_this_process(engine: Engine) -> Iterator[FlaskClient]:
    """A client of an app on a database, without any server."""
    app = keyed_app(engine)
    try:
        yield app.test_client()
    finally:
        app.extensions[EXTENSION].reader.close()


def free_port() -> int:
    """A port that nobody listens on."""
    random = Random()
    while True:
        port = random.randrange(LOWEST, HIGHEST)
        with socket.socket() as probe, suppress(OSError):
            probe.bind(("127.0.0.1", port))
            return port


def children(parent: int) -> list[int]:
    """The processes that a process has started and that live, by the system's own list of them."""
    every = [int(folder.name) for folder in Path("/proc").glob("[0-9]*")]
    return [pid for pid in every if _is_alive(pid) and _state(pid)[1] == parent]


def _state(pid: int) -> tuple[str, int]:
    """How a process is, by its letter, and which process is its parent."""
    try:
        told = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return "X", 0
    letter, parent, *_ = told.rpartition(") ")[2].split()
    return letter, int(parent)


def _is_alive(pid: int) -> bool:
    """Whether it is more than an entry that nobody has taken note of."""
    return _state(pid)[0] not in "XZ"


def _kill(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


def _until_gone(pids: list[int]) -> None:
    deadline = time.monotonic() + PATIENCE
    while any(map(_is_alive, pids)):
        assert time.monotonic() < deadline, f"some of {pids} do not end"
        time.sleep(PAUSE)


def _environment(url: str, more: Mapping[str, str]) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("BOARDFIT_")}
    settings = {"BOARDFIT_DATABASE_URL": url, "BOARDFIT_WORKERS": str(WORKERS)}
    return {**kept, **settings, "PYTHONPATH": str(ROOT), **more}
