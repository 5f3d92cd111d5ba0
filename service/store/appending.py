"""One transaction's appending: groups of events one after the other, each whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, select, true

from service.domain.ledger.event import Draft, Event, EventKind, Subject, SubjectKind
from service.domain.ledger.kinds import draft_faults, named_subjects
from service.domain.recording.refusal import Judge
from service.store.book import clashing, open_book
from service.store.errors import AlreadyBound, Conflict, InvalidEvents, NotCorrectable
from service.store.gather import gather
from service.store.judging import look_around, refuse_illegal
from service.store.keeping import Versions, keep
from service.store.ledger import events_numbered
from service.store.lock import clock, take_write_lock, told_time
from service.store.tables import EVENTS


class Appending:
    """Takes events in memory, each after those before it, and writes them all at the end.

    The connection is one of `engine.writing`; it is committed there. `subjects` are looked up at once,
    others when they are first spoken of. `judge` says whether each event may follow on those before it;
    without one only a second binding is refused.
    """

    def __init__(
        self, connection: Connection, subjects: Iterable[Subject] = (), judge: Judge | None = None
    ) -> None:
        take_write_lock(connection)
        self._connection = connection
        self._judge = judge
        self._next, self.moment = _next(connection)
        """`moment`: when what is taken is recorded, by the database's clock."""
        self.versions: list[Versions] = []
        """For each event taken, its subjects with the versions that they have by it."""
        self.book = open_book(connection, subjects)

    def take(self, drafts: Sequence[Draft], expected: Mapping[Subject, int] | None = None) -> list[Event]:
        """Take a group of events, all or none. `expected` is as for `append`.

        Raises InvalidEvents, Conflict, NotLegal, AlreadyBound or NotCorrectable, and then it is as if the
        group never came.
        """
        _refuse_invalid(drafts)
        events = self._with_corrected_subjects([self._event(at, draft) for at, draft in enumerate(drafts)])
        spoken_of = {who for event in events for who in event.subjects}
        self.book.look_up(self._connection, {*spoken_of, *(expected or ())})
        self._refuse_outdated(expected or {})
        if self._judge is not None:
            look_around(self._connection, self.book, events)
        before = self.book.before(spoken_of)
        try:
            versions = [self._enter(at, event) for at, event in enumerate(events)]
        except Exception:
            self.book.back_to(before)
            raise
        self.versions += versions
        self._next += len(events)
        return events

    def keep(self) -> None:
        """Write what was taken. Nothing can be taken afterwards."""
        with self._connection.begin_nested():
            keep(self._connection, self.book, self.versions)

    def _event(self, at: int, draft: Draft) -> Event:
        return Event(
            seq=self._next + at,
            kind=draft.kind,
            occurred_at=draft.occurred_at,
            recorded_at=self.moment,
            data=draft.data,
            subjects=named_subjects(draft.kind, draft.data),
        )

    def _enter(self, position: int, event: Event) -> Versions:
        """Take an event into the book; each of its subjects with the version that it has then."""
        if self._judge is not None:
            refuse_illegal(self._connection, self.book, self._judge, position, event)
        clash = clashing(self.book, event)
        if clash is not None:
            raise AlreadyBound(clash, records=gather(self._connection, [clash.board], []))
        if event.kind == EventKind.CORRECTED:
            self.book.correct(self._connection, event)
        else:
            self.book.add(event)
        return [(subject, self.book.version(subject)) for subject in event.subjects]

    def _refuse_outdated(self, expected: Mapping[Subject, int]) -> None:
        versions = {subject: self.book.version(subject) for subject in expected}
        if versions == dict(expected):
            return
        boards = [subject.serial for subject in versions if subject.kind is SubjectKind.BOARD]
        units = [subject.serial for subject in versions if subject.kind is SubjectKind.UNIT]
        records = gather(self._connection, boards, units)
        raise Conflict("the ledger has moved on since it was looked at", records=records, versions=versions)

    def _with_corrected_subjects(self, events: list[Event]) -> list[Event]:
        """A correction speaks of everything that the event it withdraws spoke of."""
        wanted = [event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED]
        if not wanted:
            return events
        found = {event.seq: event for event in events_numbered(self._connection, wanted)}
        found |= {event.seq: event for event in self.book.events if event.seq in wanted}
        gone = _withdrawn(self._connection, wanted) | self.book.withdrawn
        return [
            _correcting(event, found, gone) if event.kind == EventKind.CORRECTED else event
            for event in events
        ]


def _refuse_invalid(drafts: Sequence[Draft]) -> None:
    faults = [(at, fault) for at, draft in enumerate(drafts) for fault in draft_faults(draft)]
    if faults:
        raise InvalidEvents(faults)


def _next(connection: Connection) -> tuple[int, datetime]:
    """The next number and the moment to record. A clock that was set back does not reorder the past."""
    row = connection.execute(_last(connection.dialect.name)).one()
    now = told_time(row.now)
    return (1, now) if row.seq is None else (row.seq + 1, max(now, row.recorded_at))


@cache
def _last(dialect: str) -> Select[Any]:
    """The database's clock beside the last event, if there is one."""
    last = select(EVENTS.c.seq, EVENTS.c.recorded_at).order_by(EVENTS.c.seq.desc()).limit(1).subquery()
    now = select(clock(dialect).label("now")).subquery()
    return select(now.c.now, last.c.seq, last.c.recorded_at).select_from(now.outerjoin(last, true()))


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
