"""A proxy as a shop has one before two hosts: it looks at /readyz, takes turns, and never tries again."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from http.client import HTTPException
from itertools import count
from threading import Event, Lock

from tests.endurance.asking import Answer, Client
from tests.endurance.serving import Served

LOOK = 0.1
"""Seconds between two looks at a server."""


@dataclass
class Proxy:
    """Hands each request to the next server that was ready when it was last looked at."""

    servers: Sequence[Served]
    ready: list[Served] = field(default_factory=list)
    _turn: Iterator[int] = field(default_factory=count)
    _kept: dict[int, list[Client]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def get(self, path: str) -> Answer:
        """The answer of a server. Raises OSError or HTTPException where it fails."""
        with self._lock:
            ready = self.ready
            server = ready[next(self._turn) % len(ready)]
            kept = self._kept.setdefault(server.port, [])
            client = kept.pop() if kept else Client(server.port, timeout=10)
        answer = client.get(path)
        with self._lock:
            if server in self.ready and self._kept.get(server.port) is kept:
                kept.append(client)
                return answer
        client.close()
        return answer

    def look(self) -> None:
        """Look at each server once; connections to one that is not ready are let go."""
        found = [server for server in self.servers if _is_ready(server)]
        self._use(found)

    def close(self) -> None:
        """Let go of every connection."""
        self._use([])

    def _use(self, ready: list[Served]) -> None:
        with self._lock:
            self.ready = ready
            gone = [server for server in self.servers if server not in ready]
            unused = [client for server in gone for client in self._kept.pop(server.port, [])]
        for client in unused:
            client.close()


def _is_ready(server: Served) -> bool:
    with closing(Client(server.port, timeout=10)) as client, suppress(OSError, HTTPException):
        return client.get("/readyz").status == 200
    return False


@contextmanager
def proxy(servers: Sequence[Served]) -> Iterator[Proxy]:
    """A proxy that goes on looking."""
    made, over = Proxy(servers), Event()

    def look() -> None:
        while not over.wait(LOOK):
            made.look()

    made.look()
    with ThreadPoolExecutor(1) as pool:
        looking = pool.submit(look)
        try:
            yield made
        finally:
            over.set()
            looking.result()
            made.close()


@dataclass
class Load:
    """What clients asked through a proxy, and what went wrong."""

    asked: int = 0
    failed: list[str] = field(default_factory=list)


@contextmanager
def load(through: Proxy, path: str, clients: int) -> Iterator[Load]:
    """Clients that ask all the time."""
    told, over, lock = Load(), Event(), Lock()

    def ask() -> None:
        while not over.is_set():
            try:
                answer = through.get(path)
                wrong = None if answer.status == 200 else f"{answer.status}: {answer.body[:200]!r}"
            except (OSError, HTTPException, ZeroDivisionError) as fault:
                wrong = repr(fault)
            with lock:
                told.asked += 1
                told.failed += [wrong] if wrong else []
            time.sleep(0.005)

    with ThreadPoolExecutor(clients) as pool:
        asking = [pool.submit(ask) for _ in range(clients)]
        try:
            yield told
        finally:
            over.set()
            for each in asking:
                each.result()
