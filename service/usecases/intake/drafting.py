"""Whole events: read, completed, and checked as the ledger will, with every fault told at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.records import Records
from service.domain.ledger.event import Draft, Subject, SubjectKind
from service.domain.ledger.fields import Fault as Wrong
from service.domain.ledger.fields import FieldTable, FieldType
from service.domain.ledger.fields import faults as faults_of
from service.domain.ledger.kinds import draft_faults, kind_of
from service.domain.terms import Serial
from service.usecases.intake.filling import Filler
from service.usecases.intake.known import Known
from service.usecases.intake.reading import Reader
from service.usecases.intake.told import Path, Told
from service.usecases.mending import Fault, Refused

CLOCKS_DIFFER = timedelta(minutes=5)
"""So much later than now an event may have happened: no two clocks are equal."""

WRONG: Mapping[str, str] = {
    "missing": "is missing: give it, nothing else tells it",
    "unknown_field": "is no field of this kind: leave it out",
    "wrong_type": "is of the wrong type: see the document",
    "wrong_value": "cannot stand here: see the document",
    "too_long": "is too long: shorten it",
    "not_together": "does not go with the rest of the event: leave one of them out",
    "exactly_one": "give a board or a unit, and not both",
}
"""How each fault of a field table is mended."""


def serials_of(compiled: CompiledCatalogue, told: Sequence[Told]) -> tuple[set[Serial], set[Serial]]:
    """The boards and units that events name, as they would be stored: what to look up before `drafts`."""
    boards, units = set(), set()
    for each in told:
        for subject in _named(kind_of(each.kind).fields, each.data):
            if subject.kind is SubjectKind.BOARD:
                boards.add(compiled.read_board(subject.serial).serial)
            else:
                units.add(compiled.read_unit(subject.serial).serial)
    return boards, units


def drafts(
    compiled: CompiledCatalogue,
    records: Records,
    told: Sequence[Told],
    now: datetime,
    path: Path = ("events",),
) -> list[Draft]:
    """The events as they are recorded. Each is of a known kind, and its values of their fields' types.

    `records` holds what the ledger knows of `serials_of`; an event may rest on an earlier one of the
    call. `path` is where the events stand in what was sent. Raises Refused with every fault of all.
    """
    known = Known(compiled, records)
    made: list[Draft] = []
    faults: list[Fault] = []
    for at, each in enumerate(told):
        draft, wrong = drafted(known, each, now, (*path, at))
        made.append(draft)
        faults += wrong
        if not wrong:
            known.learn(draft.kind, draft.data)
    if faults:
        raise Refused(faults)
    return made


def untyped(told: Told, path: Path = ()) -> list[Fault]:
    """What is wrong with the form of an event that came past no schema: `drafts` and `drafted` rely on it."""
    found = faults_of(kind_of(told.kind).fields, told.data, (*path, "data"))
    return [Fault(wrong.path, WRONG[wrong.code]) for wrong in found if wrong.code != "missing"]


def drafted(known: Known, told: Told, now: datetime, path: Path = ()) -> tuple[Draft, list[Fault]]:
    """One event as it is recorded, and all that is wrong with it.

    Where nothing is, and it is recorded, `known.learn` takes it into account for the next one.
    """
    table, inside = kind_of(told.kind).fields, (*path, "data")
    reader, filler = Reader(known.compiled, known.records), Filler(known)
    data = reader.block(table, told.data, inside)
    if not reader.faults:
        filler.event(told.kind, table, data, inside)
    draft = Draft(kind=told.kind, occurred_at=told.occurred_at or now, data=data)
    faults = [*reader.faults, *filler.faults, *_too_late(told, now, path)]
    if not faults:
        faults = [_mended(wrong, path) for wrong in draft_faults(draft)]
    return draft, faults


def _too_late(told: Told, now: datetime, path: Path) -> Iterator[Fault]:
    if told.occurred_at is not None and told.occurred_at > now + CLOCKS_DIFFER:
        mend = "lies in the future: record what has happened, or leave it out for now"
        yield Fault((*path, "occurred_at"), mend)


def _mended(wrong: Wrong, path: Path) -> Fault:
    return Fault((*path, *wrong.path), WRONG[wrong.code])


def _named(table: FieldTable, data: Mapping[str, Any]) -> Iterator[Subject]:
    """The boards and units of data that may not be complete; texts as they were sent."""
    for name, value in data.items():
        field = table[name]
        match field.type:
            case FieldType.BOARD | FieldType.UNIT:
                yield Subject(SubjectKind(field.type.value), Serial(value))
            case FieldType.BLOCK:
                yield from _named(field.of or {}, value)
            case FieldType.LIST:
                for entry in value:
                    yield from _named(field.of or {}, entry)
