"""Writers of jobs of several events, and readers of the feed beside them."""

from __future__ import annotations

import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from random import Random

from sqlalchemy import Engine

from service.domain.ledger.event import Draft, Event
from service.store.append import append
from service.store.engine import reading, writing
from service.store.errors import AlreadyBound
from service.store.ledger import events_after
from tests.endurance.crews import PATIENCE, Start
from tests.ledger.telling import draft
from tests.store.ledgers import BIND, BIND_OTHER
from tests.support.databases import opened

PAUSE = 0.002
"""Seconds before a reader that found nothing new looks again."""

LAST = "read_out"
"""The kind that ends a job, and that nothing else here is of."""


class Abandoned(Exception):
    """A writer thinks better of it after appending."""


@dataclass(frozen=True, slots=True)
class Job:
    """Some events of one board, appended together."""

    board: str
    tests: int
    fate: str
    """`kept`, `refused` by the ledger, or `abandoned` by its writer after appending."""

    @property
    def events(self) -> int:
        return self.tests + 2

    def drafts(self) -> list[Draft]:
        """What is appended; a board that is bound twice over is refused at the last event."""
        received = draft("received", board=self.board, part="p-1", binding="blank")
        tests = [draft("tested", board=self.board, passed=True)] * self.tests
        refused = [BIND, BIND_OTHER] if self.fate == "refused" else []
        return [received, *tests, *refused, draft(LAST, board=self.board, part="p-1")]


@dataclass(frozen=True, slots=True)
class Done:
    """When the append of a kept job began and ended, and the numbers it was given."""

    began: float
    ended: float
    board: str
    numbers: list[int]


@dataclass(frozen=True, slots=True)
class Read:
    """What a reader saw: number, board and recording time of each event, and how many looks it took."""

    seen: list[tuple[int, str]]
    cut: int
    """How many times it had read all there was and the last job was not whole."""
    looks: int
    longest: float
    """Seconds of the longest look."""


def jobs(writer: int, count: int, seed: int) -> list[Job]:
    """A writer's jobs, most of them kept."""
    random = Random(f"{seed} {writer}")
    fates = ["kept"] * 6 + ["refused", "abandoned"]
    return [
        Job(board=f"W{writer}-{number}", tests=random.randrange(4), fate=random.choice(fates))
        for number in range(count)
    ]


def write(start: Start, url: str, todo: Sequence[Job]) -> list[Done]:
    """Append all the jobs; what became of those that are kept."""
    with opened(url) as engine:
        start.wait(PATIENCE)
        return [done for job in todo for done in _append(engine, job)]


def _append(engine: Engine, job: Job) -> list[Done]:
    began = time.monotonic()
    events: list[Event] = []
    with suppress(AlreadyBound, Abandoned), writing(engine) as connection:
        events = append(connection, job.drafts())
        if job.fate == "abandoned":
            raise Abandoned
    if job.fate != "kept":
        return []
    numbers = [event.seq for event in events]
    return [Done(began=began, ended=time.monotonic(), board=job.board, numbers=numbers)]


def read(start: Start, url: str, total: int, seed: int) -> Read:
    """Read the feed from its beginning until so many events were seen, or nothing new comes any more."""
    random = Random(seed)
    seen: list[tuple[int, str]] = []
    cut, looks, longest = 0, 0, 0.0
    with opened(url) as engine:
        start.wait(PATIENCE)
        last_new = time.monotonic()
        while len(seen) < total and time.monotonic() < last_new + PATIENCE:
            limit = random.choice([1, 3, 50, 1000])
            began = time.monotonic()
            with reading(engine) as connection:
                found = events_after(connection, seen[-1][0] if seen else 0, limit)
            looks, longest = looks + 1, max(longest, time.monotonic() - began)
            seen += [(event.seq, event.data["board"]) for event in found]
            cut += 0 < len(found) < limit and found[-1].kind != LAST
            if found:
                last_new = time.monotonic()
            else:
                time.sleep(PAUSE)
    return Read(seen=seen, cut=cut, looks=looks, longest=longest)
