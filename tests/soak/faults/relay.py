"""A relay between the service and PostgreSQL that can stop passing things on, without a word to either."""

from __future__ import annotations

import socket
from contextlib import suppress
from pathlib import Path
from threading import Event, Lock, Thread
from types import TracebackType
from typing import Self

SOME = 65_536


class Relay:
    """Listens on a port of this machine and passes everything to a Unix socket and back."""

    def __init__(self, target: Path) -> None:
        self._target = str(target)
        self._whole = Event()
        self._whole.set()
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listener.getsockname()[1]
        self._guard = Lock()
        self._open: list[socket.socket] = []
        self._threads = [Thread(target=self._take)]

    def __enter__(self) -> Self:
        self._threads[0].start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._whole.set()
        # Closing what a thread waits on does not wake it; shutting it down does.
        self._listener.shutdown(socket.SHUT_RDWR)
        with self._guard:
            for each in self._open:
                with suppress(OSError):
                    each.shutdown(socket.SHUT_RDWR)
        for thread in self._threads:
            thread.join()
        self._listener.close()
        for each in self._open:
            each.close()

    def cut(self) -> None:
        """Pass nothing on from now."""
        self._whole.clear()

    def heal(self) -> None:
        """Pass on what was held back, and everything from now."""
        self._whole.set()

    def _take(self) -> None:
        with suppress(OSError):
            while True:
                near, _ = self._listener.accept()
                far = socket.socket(socket.AF_UNIX)
                far.connect(self._target)
                with self._guard:
                    self._open += [near, far]
                for one, other in ((near, far), (far, near)):
                    thread = Thread(target=self._pass, args=(one, other))
                    self._threads.append(thread)
                    thread.start()

    def _pass(self, one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):
            while some := one.recv(SOME):
                self._whole.wait()
                other.sendall(some)
        with suppress(OSError):
            other.shutdown(socket.SHUT_RDWR)
