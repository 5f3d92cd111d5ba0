"""Reading the ledger: events in order of sequence, of all, of a subject, or of a set of subjects."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select

from service.domain.ledger.event import Event, Subject, SubjectKind
from service.domain.terms import Serial
from service.store.among import among, bound_set
from service.store.tables import EVENT_SUBJECTS, EVENTS

PAGE = 1_000


def events_after(connection: Connection, seq: int, limit: int = PAGE) -> list[Event]:
    """The events with a higher number, oldest first. Numbers have no gaps and come in commit order."""
    chosen = select(EVENTS).where(EVENTS.c.seq > seq).order_by(EVENTS.c.seq).limit(limit)
    return _events(connection, connection.execute(chosen).all())


def events_numbered(connection: Connection, numbers: Iterable[int]) -> list[Event]:
    """The events with these numbers, those that exist, oldest first."""
    dialect = connection.dialect.name
    chosen = select(EVENTS).where(among(EVENTS.c.seq, "numbers", dialect)).order_by(EVENTS.c.seq)
    rows = connection.execute(chosen, {"numbers": bound_set(numbers, dialect)}).all()
    return _events(connection, rows)


def history(connection: Connection, subject: Subject) -> list[Event]:
    """All events that speak of a board or unit, those withdrawn included, oldest first."""
    return streams(connection, [subject])


def streams(connection: Connection, subjects: Iterable[Subject], until: int | None = None) -> list[Event]:
    """All events that speak of any of these subjects, each once, oldest first; up to a number if given."""
    dialect = connection.dialect.name
    wanted = list(subjects)
    bound = {
        f"{kind}s": bound_set([subject.serial for subject in wanted if subject.kind is kind], dialect)
        for kind in SubjectKind
    }
    chosen = _streams(dialect)
    if until is not None:
        chosen = chosen.where(EVENTS.c.seq <= until)
    return _events(connection, connection.execute(chosen, bound).all())


@cache
def _streams(dialect: str) -> Select[Any]:
    subject = EVENT_SUBJECTS.c
    numbers = [
        select(subject.seq).where(subject.kind == kind, among(subject.serial, f"{kind}s", dialect))
        for kind in SubjectKind
    ]
    return select(EVENTS).where(EVENTS.c.seq.in_(numbers[0].union(numbers[1]))).order_by(EVENTS.c.seq)


def last_number(connection: Connection, as_of: datetime | None = None) -> int:
    """The number of the last event, of those recorded up to a moment; 0 for none."""
    chosen = select(func.coalesce(func.max(EVENTS.c.seq), 0))
    if as_of is not None:
        chosen = chosen.where(EVENTS.c.recorded_at <= as_of)
    return int(connection.execute(chosen).scalar_one())


def _events(connection: Connection, rows: Sequence[Row[Any]]) -> list[Event]:
    if not rows:
        return []
    subjects = _subjects(connection, [row.seq for row in rows])
    return [event_of(row, subjects[row.seq]) for row in rows]


def event_of(row: Row[Any], subjects: Iterable[Subject]) -> Event:
    """The event of a row of `EVENTS`, with its subjects in their order."""
    return Event(
        seq=row.seq,
        kind=row.kind,
        occurred_at=row.occurred_at,
        recorded_at=row.recorded_at,
        data=row.data,
        subjects=tuple(subjects),
    )


def _subjects(connection: Connection, numbers: Sequence[int]) -> dict[int, list[Subject]]:
    """Whom events speak of, in the order of `Subject`."""
    dialect, columns = connection.dialect.name, EVENT_SUBJECTS.c
    chosen = select(columns.seq, columns.kind, columns.serial).where(among(columns.seq, "numbers", dialect))
    chosen = chosen.order_by(columns.seq, columns.kind, columns.serial)
    found: dict[int, list[Subject]] = {number: [] for number in numbers}
    for seq, kind, serial in connection.execute(chosen, {"numbers": bound_set(numbers, dialect)}):
        found[seq].append(Subject(SubjectKind(kind), Serial(serial)))
    return found
