"""Appending to the ledger: all of a list of events, or none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import islice

from sqlalchemy import Connection, Engine, select

from service.domain.ledger.event import Draft, Event, EventKind, Subject, SubjectKind
from service.domain.ledger.kinds import draft_faults, named_subjects
from service.store.book import Book, clashing, open_book
from service.store.engine import writing
from service.store.errors import AlreadyBound, Conflict, InvalidEvents, NotCorrectable
from service.store.gather import gather
from service.store.keeping import keep
from service.store.ledger import events_numbered
from service.store.lock import database_time, take_write_lock
from service.store.tables import EVENTS

CHUNK = 2_000
"""Events in one transaction of `append_many`."""


def append(
    connection: Connection, drafts: Sequence[Draft], expected: Mapping[Subject, int] | None = None
) -> list[Event]:
    """Append events in the given order, all or none, and bring the state tables up to date.

    `expected` is the version that the caller saw of each subject it relies on; a subject without one
    is not compared. The connection is one of `engine.writing`; it is committed there.

    Raises InvalidEvents, Conflict, AlreadyBound or NotCorrectable, with nothing written.
    """
    _refuse_invalid(drafts)
    take_write_lock(connection)
    seq, moment = _next(connection)
    events = [
        Event(
            seq=seq + at,
            kind=draft.kind,
            occurred_at=draft.occurred_at,
            recorded_at=moment,
            data=draft.data,
            subjects=named_subjects(draft.kind, draft.data),
        )
        for at, draft in enumerate(drafts)
    ]
    events = _with_corrected_subjects(connection, events)
    book = open_book(connection, {*(expected or {}), *(who for event in events for who in event.subjects)})
    _refuse_outdated(connection, book, expected or {})
    versions = [_enter(connection, book, event) for event in events]
    with connection.begin_nested():
        keep(connection, book, versions)
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


def _refuse_invalid(drafts: Sequence[Draft]) -> None:
    faults = [(at, fault) for at, draft in enumerate(drafts) for fault in draft_faults(draft)]
    if faults:
        raise InvalidEvents(faults)


def _next(connection: Connection) -> tuple[int, datetime]:
    """The next number and the moment to record. A clock that was set back does not reorder the past."""
    last = connection.execute(
        select(EVENTS.c.seq, EVENTS.c.recorded_at).order_by(EVENTS.c.seq.desc()).limit(1)
    ).first()
    now = database_time(connection)
    return (1, now) if last is None else (last.seq + 1, max(now, last.recorded_at))


def _enter(connection: Connection, book: Book, event: Event) -> list[tuple[Subject, int]]:
    """Take an event into the book; the version that each of its subjects has then."""
    clash = clashing(book, event)
    if clash is not None:
        raise AlreadyBound(clash, records=gather(connection, [clash.board], []))
    if event.kind == EventKind.CORRECTED:
        book.correct(connection, event)
    else:
        book.add(event)
    return [(subject, book.version(subject)) for subject in event.subjects]


def _refuse_outdated(connection: Connection, book: Book, expected: Mapping[Subject, int]) -> None:
    versions = {subject: book.version(subject) for subject in expected}
    if versions == dict(expected):
        return
    boards = [subject.serial for subject in versions if subject.kind is SubjectKind.BOARD]
    units = [subject.serial for subject in versions if subject.kind is SubjectKind.UNIT]
    records = gather(connection, boards, units)
    raise Conflict("the ledger has moved on since it was looked at", records=records, versions=versions)


def _with_corrected_subjects(connection: Connection, events: list[Event]) -> list[Event]:
    """A correction speaks of everything that the event it withdraws spoke of."""
    wanted = [event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED]
    if not wanted:
        return events
    found = {event.seq: event for event in events_numbered(connection, wanted)}
    gone = _withdrawn(connection, wanted)
    return [
        _correcting(event, found, gone) if event.kind == EventKind.CORRECTED else event for event in events
    ]


def _withdrawn(connection: Connection, numbers: list[int]) -> set[int]:
    chosen = select(EVENTS.c.withdraws).where(EVENTS.c.withdraws.in_(numbers))
    return set(connection.execute(chosen).scalars())


def _correcting(event: Event, found: Mapping[int, Event], gone: set[int]) -> Event:
    seq = event.data["withdraws"]
    if seq not in found:
        raise NotCorrectable(seq, "no_such_event")
    if found[seq].kind == EventKind.CORRECTED:
        raise NotCorrectable(seq, "is_a_correction")
    if seq in gone:
        raise NotCorrectable(seq, "withdrawn_already")
    gone.add(seq)
    return replace(event, subjects=tuple(sorted({*event.subjects, *found[seq].subjects})))
