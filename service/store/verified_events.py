"""Whether events are sound: each by itself, beside the one before it, and with what is kept beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, select

from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.kinds import UnknownKind, named_subjects
from service.domain.terms import Serial
from service.store.ledger import events_after
from service.store.tables import EVENT_SUBJECTS, EVENTS, SALE_CHECKS

SUBJECT = (EVENT_SUBJECTS.c.kind, EVENT_SUBJECTS.c.serial)
"""Whom an event speaks of."""

UNREADABLE = (UnknownKind, AttributeError, KeyError, TypeError, ValueError)
"""What is raised by an event whose data are not those of its kind."""

Moved = Callable[[int], None]
"""Told how many events, boards and units have been looked at."""


@dataclass(slots=True)
class Progress:
    """Counts what was looked at."""

    moved: Moved
    done: int = 0

    def on(self, more: int) -> None:
        self.done += more
        self.moved(self.done)


def event_faults(connection: Connection, progress: Progress) -> Iterator[str]:
    """Each event by itself and beside the one before it."""
    before: Event | None = None
    while page := events_after(connection, before.seq if before else 0):
        corrected, checks = _corrected(connection, page), _checks(connection, page)
        for event in page:
            yield from _faults_beside(before, event)
            if not isinstance(event.data, dict):
                yield f"event {event.seq} cannot be read: {event.kind}"
            else:
                yield from _faults_of(event, corrected)
                if event.data.get("check") != checks.get(event.seq, event.data.get("check")):
                    yield f"the sale check {checks[event.seq]} is not that of event {event.seq}"
            before = event
        progress.on(len(page))


def _faults_beside(before: Event | None, event: Event) -> Iterator[str]:
    expected = before.seq + 1 if before else 1
    if event.seq != expected:
        yield f"event {event.seq} stands where {expected} should"
    if before is not None and event.recorded_at < before.recorded_at:
        yield f"event {event.seq} was recorded before event {before.seq}"


def _faults_of(event: Event, corrected: Mapping[int, tuple[int | None, set[Subject]]]) -> Iterator[str]:
    withdraws, others = corrected.get(event.seq, (None, set()))
    told = event.data.get("withdraws") if event.kind == EventKind.CORRECTED else None
    if withdraws != told:
        yield f"event {event.seq} says that it withdraws {told}, and its row {withdraws}"
    try:
        named = set(named_subjects(event.kind, event.data)) | others
    except UNREADABLE:
        yield f"event {event.seq} cannot be read: {event.kind}"
        return
    if named != set(event.subjects):
        yield f"event {event.seq} speaks of others than are kept: {listed(named)}"


def listed(subjects: Iterable[Subject]) -> str:
    return ", ".join(f"{kind} {serial}" for kind, serial in sorted(subjects))


def _corrected(
    connection: Connection, page: Sequence[Event]
) -> Mapping[int, tuple[int | None, set[Subject]]]:
    """For each correction: what its row says that it withdraws, and whom that event speaks of."""
    chosen = select(EVENTS.c.seq, EVENTS.c.withdraws, *SUBJECT)
    chosen = chosen.outerjoin(EVENT_SUBJECTS, EVENT_SUBJECTS.c.seq == EVENTS.c.withdraws)
    chosen = chosen.where(EVENTS.c.seq.between(page[0].seq, page[-1].seq), EVENTS.c.withdraws.is_not(None))
    found: dict[int, tuple[int | None, set[Subject]]] = {}
    for seq, withdraws, kind, serial in connection.execute(chosen):
        others = found.setdefault(seq, (withdraws, set()))[1]
        if kind is not None:
            others.add(Subject(SubjectKind(kind), Serial(serial)))
    return found


def _checks(connection: Connection, page: Sequence[Event]) -> Mapping[int, str]:
    """The sale checks of these events. A ledger that was imported has none beside its events."""
    chosen = select(SALE_CHECKS.c.seq, SALE_CHECKS.c.id)
    chosen = chosen.where(SALE_CHECKS.c.seq.between(page[0].seq, page[-1].seq))
    return dict(tuple(row) for row in connection.execute(chosen))
