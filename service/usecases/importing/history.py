"""Events that another ledger recorded, or this one: their numbers mean something to each other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from service.domain.ledger.event import Event, EventKind
from service.files.rows import Flaw
from service.store.engine import Transaction
from service.store.ledger import events_numbered
from service.usecases.importing.entry import Entry
from service.usecases.importing.renumbering import Renumbering

POINTERS: Mapping[str, str] = {EventKind.CORRECTED: "withdraws", EventKind.HOLD_LIFTED: "placed"}
"""Kinds that refer to an earlier event, and the field in which they give its number."""


def points_at(entry: Entry) -> int:
    """The number of the file that a line refers to; 0 where it refers to none, or to this ledger's own."""
    if entry.number is None:
        return 0
    told = entry.told[0]
    number = told.data.get(POINTERS.get(told.kind, ""), 0)
    return number if isinstance(number, int) else 0


def repointed(entry: Entry, numbers: Renumbering) -> Entry | Flaw:
    """The line with the number here of the event that it refers to."""
    number = points_at(entry)
    if not number:
        return entry
    (told,) = entry.told
    field, seq = POINTERS[told.kind], numbers.seq_of(number)
    if seq is None:
        mend = "that event was refused, or is not in the file before this line: bring it in first"
        return Flaw(entry.line, f"data.{field}", f"refers to the event {number}: {mend}")
    return replace(entry, told=(replace(told, data={**told.data, field: seq}),))


def recorded_here(connection: Transaction, entries: Mapping[str, Entry]) -> dict[str, int]:
    """The marks of lines that this very ledger was written to a file with, each with its event's number.

    A file that comes back to where it was made says nothing new.
    """
    past = {entry.number: mark for mark, entry in entries.items() if entry.number and entry.recorded_at}
    events = events_numbered(connection, past) if past else []
    return {past[event.seq]: event.seq for event in events if _is_of(entries[past[event.seq]], event)}


def _is_of(entry: Entry, event: Event) -> bool:
    (told,) = entry.told
    return (entry.recorded_at, told.kind, told.occurred_at, told.data) == (
        event.recorded_at,
        event.kind,
        event.occurred_at,
        event.data,
    )
