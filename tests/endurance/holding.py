"""Other processes that have the write lock: one that stays in the middle, one that writes now and then."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerProcess

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError

from service.store.append import append
from service.store.away import is_away
from service.store.engine import writing
from tests.endurance.crews import FORKED, PATIENCE
from tests.ledger.telling import draft
from tests.support.databases import opened


@dataclass(frozen=True, slots=True)
class Other:
    """A process, and the line to it."""

    process: ForkServerProcess
    line: Connection

    def says(self) -> str | float:
        """The next word of it."""
        assert self.line.poll(PATIENCE), "the other process says nothing"
        word: str | float = self.line.recv()
        return word


@contextmanager
def another(work: Callable[[str, Connection], None], url: str) -> Iterator[Other]:
    """A process that does some work on a database; it is killed at the end, whatever it is about."""
    ours, its = FORKED.Pipe()
    process = FORKED.Process(target=work, args=(url, its))
    process.start()
    try:
        yield Other(process, ours)
    finally:
        process.kill()
        process.join(PATIENCE)
        process.close()
        for end in (ours, its):
            end.close()


def receive(engine: Engine, board: str) -> int:
    """Append one event; its number."""
    with writing(engine) as connection:
        return append(connection, [draft("received", board=board, part="p-1")])[0].seq


def stay(url: str, line: Connection) -> None:
    """Append, say `holding`, end the transaction only after a word, and say what came of it."""
    with opened(url) as engine:
        try:
            with writing(engine) as connection:
                append(connection, [draft("received", board="HELD", part="p-1")])
                line.send("holding")
                line.recv()
        except DBAPIError as fault:
            line.send("away" if is_away(fault) else str(fault))
        else:
            line.send("kept")


def write_twenty(url: str, line: Connection) -> None:
    """Append twenty events; say how many seconds the slowest took."""
    longest = 0.0
    with opened(url) as engine:
        for number in range(20):
            began = time.monotonic()
            receive(engine, f"T{number}")
            longest = max(longest, time.monotonic() - began)
    line.send(longest)
