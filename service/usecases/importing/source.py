"""The three kinds of files: their columns, and how a row of each is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from functools import partial
from typing import Any

from service.domain.catalogue.model import Catalogue
from service.files.rows import Flaw, Row
from service.usecases.importing.boards import BOARD_COLUMNS, board_entry
from service.usecases.importing.columns import Columns
from service.usecases.importing.entry import Entry
from service.usecases.importing.events import EVENT_COLUMNS, event_entry
from service.usecases.importing.units import UNIT_COLUMNS, place_columns, unit_columns, unit_entry


class Subject(StrEnum):
    """What the lines of a file are about. Closed."""

    BOARDS = "boards"
    UNITS = "units"
    EVENTS = "events"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """How a file of one kind is understood."""

    subject: Subject
    columns: Columns
    now: datetime
    """When that happened of which a line tells no day."""
    reads: Callable[[int, Mapping[str, Any]], Entry | list[Flaw]]

    def entry(self, row: Row) -> Entry | list[Flaw]:
        """What a row says. Where what is needed cannot be read, all that is wrong with it."""
        values, flaws = self.columns.read(row)
        if not flaws:
            return self.reads(row.line, values)
        if not self.columns.enough(values):
            return flaws
        entry = self.reads(row.line, values)
        # What the readable columns say together may only seem wrong without the others.
        return replace(entry, flaws=tuple(flaws)) if isinstance(entry, Entry) else [*flaws, *entry]


def columns_of(subject: Subject, catalogue: Catalogue | None) -> Columns:
    """The columns of a kind of file. Without a catalogue those of units lack the places of boards."""
    match subject:
        case Subject.BOARDS:
            return BOARD_COLUMNS
        case Subject.UNITS:
            return unit_columns(catalogue) if catalogue else Columns(UNIT_COLUMNS)
        case Subject.EVENTS:
            return EVENT_COLUMNS


def source_of(subject: Subject, catalogue: Catalogue, now: datetime) -> Source:
    """How a kind of file is understood under a catalogue."""
    reads: Mapping[Subject, Callable[[int, Mapping[str, Any]], Entry | list[Flaw]]] = {
        Subject.BOARDS: board_entry,
        Subject.UNITS: partial(unit_entry, places=place_columns(catalogue)),
        Subject.EVENTS: event_entry,
    }
    columns = columns_of(subject, catalogue)
    return Source(subject=subject, columns=columns, now=now, reads=reads[subject])
