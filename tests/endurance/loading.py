"""Clients that write without pause and keep a book of their own of what was acknowledged."""

from __future__ import annotations

import json
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from http.client import HTTPException
from random import Random
from threading import Condition
from typing import TypeVar

from tests.endurance.asking import Answer, Client, Write, event
from tests.endurance.crews import PATIENCE

PAUSE = 0.1
"""Seconds before a write that was not acknowledged is sent again."""

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """A write and its first answer."""

    write: Write
    answer: Answer


class Progress:
    """How many writes of all clients were acknowledged; the kills go by it and not by the clock."""

    def __init__(self) -> None:
        self._changed = Condition()
        self._count = 0
        self.enough = False

    def one_more(self) -> None:
        with self._changed:
            self._count += 1
            self._changed.notify_all()

    def wait_for(self, more: int) -> None:
        """Wait for so many further acknowledgements. Raises AssertionError where they do not come."""
        with self._changed:
            wanted = self._count + more
            came = self._changed.wait_for(lambda: self._count >= wanted, PATIENCE)
        assert came, "nothing is acknowledged any more"


@dataclass(slots=True)
class Book:
    """What one client knows."""

    acknowledged: list[Acknowledged] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    """Answers that should not have been given."""


class Writer:
    """One client: it sends each write until it is acknowledged, and misbehaves now and then.

    `start` is the number that the ledger ends with before: what it writes has names of its own by that.
    """

    def __init__(self, port: int, number: int, start: int, progress: Progress) -> None:
        self._client = Client(port)
        self._name = f"{start}N{number}"
        self._random = Random(number)
        self._progress = progress
        self._board = ""
        self.book = Book()

    def run(self) -> Book:
        """Write until it is enough."""
        at = 0
        with closing(self._client):
            while not self._progress.enough:
                at += 1
                self._write(Write(f"client-{self._name}-{at:06d}", self._body(at)))
        return self.book

    def _body(self, at: int) -> bytes:
        """One job of one to three events, about a board of its own."""
        board = f"K{self._name}N{at}"
        received = event("received", board=board, part="MN-4100", binding="blank")
        tested = event("tested", board=board, passed=True)
        bound = event("step_finished", step="enter_serial", board=board, unit=f"U{board}", model="plover-40")
        jobs = [[received], [received, tested], [received, bound, tested]]
        return json.dumps({"events": self._random.choice(jobs)}).encode()

    def _write(self, write: Write) -> None:
        self._misbehave(write)
        answer = self._until_answered(write)
        if answer.status != 201:
            self.book.wrong.append(f"{write.key}: {answer.status} {answer.body!r}")
            return
        self.book.acknowledged.append(Acknowledged(write, answer))
        self._progress.one_more()
        if self._random.random() < 0.1:
            self._repeat(write, answer)

    def _misbehave(self, write: Write) -> None:
        """Sometimes go away while sending, or before the answer comes."""
        leave: Callable[[Write], None] | None = self._random.choices(
            [None, self._client.leave_in_the_middle, self._client.record_and_leave], [8, 1, 1]
        )[0]
        if leave is not None:
            _tried(leave, write)
            self.book.counts[leave.__name__] += 1

    def _repeat(self, write: Write, first: Answer) -> None:
        again = self._until_answered(write)
        self.book.counts["repeated"] += 1
        if not is_repetition(again, first):
            self.book.wrong.append(f"{write.key}: {first.body!r}, and then {again.status} {again.body!r}")

    def _until_answered(self, write: Write) -> Answer:
        deadline = time.monotonic() + PATIENCE
        while time.monotonic() < deadline:
            answer = _tried(self._client.record, write)
            if answer is not None and answer.status != 503:
                return answer
            self._note(answer)
            time.sleep(PAUSE)
        raise AssertionError(f"{write.key} is never answered")

    def _note(self, answer: Answer | None) -> None:
        self.book.counts["unanswered" if answer is None else "unavailable"] += 1
        if answer is not None and "Retry-After" not in answer.headers:
            self.book.wrong.append(f"a 503 without Retry-After: {answer.body!r}")


def _tried(send: Callable[[Write], Made], write: Write) -> Made | None:
    """What comes of sending; nothing where the server is killed meanwhile."""
    try:
        return send(write)
    except (OSError, HTTPException):
        return None


def is_repetition(again: Answer, first: Answer) -> bool:
    """Whether an answer is the first one again, and says so."""
    return again.replayed and (again.status, again.body) == (first.status, first.body)
