"""Appending to the ledger: all of a list of events, or none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice

from sqlalchemy import Connection, Engine

from service.domain.ledger.event import Draft, Event, Subject
from service.domain.recording.refusal import Judge
from service.store.appending import Appending
from service.store.engine import writing

CHUNK = 2_000
"""Events in one transaction of `append_many`."""


def append(
    connection: Connection,
    drafts: Sequence[Draft],
    expected: Mapping[Subject, int] | None = None,
    judge: Judge | None = None,
) -> list[Event]:
    """Append events in the given order, all or none, and bring the state tables up to date.

    `expected` is the version that the caller saw of each subject it relies on; a subject without one
    is not compared. `judge` says whether each event may follow on those before it; without one only a
    second binding is refused. The connection is one of `engine.writing`; it is committed there.

    Raises InvalidEvents, Conflict, NotLegal, AlreadyBound or NotCorrectable, with nothing written.
    """
    appending = Appending(connection, judge=judge)
    events = appending.take(drafts, expected)
    appending.keep()
    return events


def append_many(engine: Engine, drafts: Iterable[Draft], chunk: int = CHUNK) -> int:
    """Append any number of events, a transaction for each chunk; the number that were appended.

    Raises as `append` does; the chunks before stand.
    """
    remaining, count = iter(drafts), 0
    while part := list(islice(remaining, chunk)):
        with writing(engine) as connection:
            count += len(append(connection, part))
    return count
