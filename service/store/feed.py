"""Events as others follow them: the whole ledger in commit order, and the history of one board or unit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, bindparam, select

from service.domain.ledger.event import Event, Subject, SubjectKind
from service.domain.terms import Serial
from service.store.among import among, bound_set
from service.store.ledger import event_of, events_after
from service.store.tables import EVENT_SUBJECTS, EVENTS

Versions = Mapping[Subject, int]
"""The subjects of an event, each with the count of its events up to that one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An event with the versions that its subjects have by it."""

    event: Event
    versions: Versions


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """The correction that took an event back."""

    by: int
    """Its number."""
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """An event in the history of one subject."""

    entry: Entry
    version: int
    """The subject's, by this event."""
    withdrawn: Withdrawal | None


def feed(connection: Connection, after: int, limit: int) -> list[Entry]:
    """The events with a higher number than `after`, oldest first.

    Numbers have no gaps and come in commit order: who asks on from the last number misses nothing.
    """
    events = events_after(connection, after, limit)
    told = _versions(connection, [event.seq for event in events])
    return [Entry(event=event, versions=told[event.seq]) for event in events]


def chapters(connection: Connection, subject: Subject, after: int, limit: int) -> list[Chapter]:
    """The history of a board or unit from the version after `after` on, oldest first."""
    bound = {"kind": subject.kind.value, "serial": subject.serial, "after": after, "limit": limit}
    rows = connection.execute(_chapters(), bound).all()
    told = _versions(connection, [row.seq for row in rows])
    return [
        Chapter(
            entry=Entry(event=event_of(row, told[row.seq]), versions=told[row.seq]),
            version=row.version,
            withdrawn=_withdrawal(row),
        )
        for row in rows
    ]


@cache
def _chapters() -> Select[Any]:
    spoken, correction = EVENT_SUBJECTS.c, EVENTS.alias("correction")
    joined = EVENT_SUBJECTS.join(EVENTS, EVENTS.c.seq == spoken.seq)
    joined = joined.outerjoin(correction, correction.c.withdraws == EVENTS.c.seq)
    columns = (
        spoken.version,
        EVENTS,
        correction.c.seq.label("withdrawn_by"),
        correction.c.data.label("correction"),
    )
    chosen = select(*columns).select_from(joined)
    chosen = chosen.where(spoken.kind == bindparam("kind"), spoken.serial == bindparam("serial"))
    chosen = chosen.where(spoken.version > bindparam("after"))
    return chosen.order_by(spoken.version).limit(bindparam("limit"))


def _withdrawal(row: Any) -> Withdrawal | None:
    if row.withdrawn_by is None:
        return None
    return Withdrawal(by=row.withdrawn_by, reason=row.correction["reason"])


def _versions(connection: Connection, numbers: Iterable[int]) -> dict[int, dict[Subject, int]]:
    """By event, its subjects in their order with their versions."""
    dialect = connection.dialect.name
    found: dict[int, dict[Subject, int]] = {number: {} for number in numbers}
    rows = connection.execute(_subjects(dialect), {"numbers": bound_set(found, dialect)})
    for seq, kind, serial, version in rows:
        found[seq][Subject(SubjectKind(kind), Serial(serial))] = version
    return found


@cache
def _subjects(dialect: str) -> Select[Any]:
    columns = EVENT_SUBJECTS.c
    chosen = select(columns.seq, columns.kind, columns.serial, columns.version)
    chosen = chosen.where(among(columns.seq, "numbers", dialect))
    return chosen.order_by(columns.seq, columns.kind, columns.serial)
