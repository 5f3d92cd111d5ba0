"""Write down what was done, so that the next answer is right (Q11)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.fold import States
from service.domain.ledger.records import gathered
from service.domain.recording.legality import judge
from service.domain.terms import Serial, StepKind
from service.store.appending import Appending
from service.store.engine import Transaction
from service.store.feed import Entry
from service.store.ledger import events_numbered, streams
from service.store.sale_checks import told_for
from service.usecases.caller import Caller, Scope, require
from service.usecases.intake import Told, drafts, serials_of
from service.usecases.mending import Fault, Refused
from service.usecases.repeats import Repeat, Stored, once
from service.usecases.shop import Shop

ANSWERS = frozenset({EventKind.SALE_CHECKED, EventKind.SOLD})
"""Kinds that record what a customer was told, or sold, on the ground of what was known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The version that a caller saw of a board or unit; the serial as it was written."""

    kind: SubjectKind
    serial: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The events of one job, to be recorded all or none."""

    events: Sequence[Told]
    expected: Sequence[Expected] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What was recorded."""

    entries: Sequence[Entry]
    versions: Mapping[Subject, int]
    """The version now of every board and unit that the events speak of."""
    answers_given: Sequence[Event]
    """Where an event was withdrawn: the answers since then about those that it spoke of, oldest first."""


def record(
    shop: Shop, caller: Caller, repeat: Repeat, job: Job, shown: Callable[[Recorded], Mapping[str, Any]]
) -> Stored:
    """Record the events of a job, once for each key of `repeat`; the answer is what `shown` makes of it.

    Raises MissingScope, Refused for what the events cannot mean, and what the ledger refuses: the errors
    of `store.errors`.
    """
    require(caller, Scope.RECORD)
    if any(told.kind == EventKind.CORRECTED for told in job.events):
        require(caller, Scope.ADMINISTER)
    compiled = shop.catalogue()
    return once(shop, caller, repeat, lambda connection: shown(recorded(connection, compiled, job)))


def recorded(connection: Transaction, compiled: CompiledCatalogue, job: Job) -> Recorded:
    """Record the events in a transaction that has the ledger's lock: what is filled in is true by then."""
    expected = _expected(compiled, job.expected)
    boards, units = serials_of(compiled, job.events)
    named = {Subject(SubjectKind.BOARD, each) for each in boards} | {
        Subject(SubjectKind.UNIT, each) for each in units
    }
    appending = Appending(connection, {*named, *expected}, partial(judge, compiled))
    if any(_is_introduction(told) or _is_unread(told) for told in job.events):
        appending.book.look_up(connection, _seated(appending.book.states, units))
    known = gathered(appending.book.states, boards, units, ledger_version=0)
    events = appending.take(drafts(compiled, known, job.events, appending.moment), expected)
    appending.keep()
    entries = [
        Entry(event=event, versions=dict(versions))
        for event, versions in zip(events, appending.versions, strict=True)
    ]
    return Recorded(
        entries=entries,
        versions={subject: version for entry in entries for subject, version in entry.versions.items()},
        answers_given=_answers_given(connection, events),
    )


def _is_introduction(told: Told) -> bool:
    return told.data.get("step") == StepKind.INTRODUCE or told.data.get("introduced") is True


def _is_unread(told: Told) -> bool:
    return told.kind == EventKind.REMOVED and "board" not in told.data


def _seated(states: States, units: Iterable[Serial]) -> set[Subject]:
    """The boards that sit in these units, for whoever leaves out which: the one that carries the serial, or
    the one that was recorded where another came out."""
    there = (states.units[unit] for unit in units if unit in states.units)
    return {Subject(SubjectKind.BOARD, board) for unit in there for board in unit.seating.occupants.values()}


def _expected(compiled: CompiledCatalogue, told: Sequence[Expected]) -> dict[Subject, int]:
    found: dict[Subject, int] = {}
    for at, each in enumerate(told):
        read = compiled.read_board if each.kind is SubjectKind.BOARD else compiled.read_unit
        subject = Subject(each.kind, read(each.serial).serial)
        if subject in found:
            place = ("expected", at, each.kind.value)
            raise Refused([Fault(place, f"the {each.kind.value} is named twice: give one version of it")])
        found[subject] = each.version
    return found


def _answers_given(connection: Transaction, events: Iterable[Event]) -> list[Event]:
    """Somebody may have relied on what is withdrawn: he has to be told."""
    found: dict[int, Event] = {}
    for event in events:
        if event.kind == EventKind.CORRECTED:
            found |= {answer.seq: answer for answer in _answered_since(connection, event)}
    return [found[seq] for seq in sorted(found)]


def _answered_since(connection: Transaction, correction: Event) -> Iterator[Event]:
    """The answers about the boards and for the units of an event, from then until it is withdrawn."""
    since = correction.data["withdraws"]
    units = [subject.serial for subject in correction.subjects if subject.kind is SubjectKind.UNIT]
    about = streams(connection, correction.subjects)
    for event in (*about, *events_numbered(connection, told_for(connection, units, since))):
        if event.kind in ANSWERS and since < event.seq < correction.seq:
            yield event
