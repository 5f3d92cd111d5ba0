"""The three kinds of files to write: their columns, their rows, and how many there are about."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from service.domain.catalogue.model import Catalogue
from service.store.engine import Transaction
from service.store.ledger import last_number
from service.store.pages import count_boards, count_units
from service.usecases.exporting.boards import board_rows
from service.usecases.exporting.events import event_rows
from service.usecases.exporting.units import unit_rows
from service.usecases.importing.boards import BOARD_COLUMNS
from service.usecases.importing.source import Subject
from service.usecases.importing.units import place_columns, unit_columns

EVENT_COLUMNS = ("seq", "kind", "occurred_at", "recorded_at", "data")


@dataclass(frozen=True, slots=True, kw_only=True)
class Export:
    """A file to write."""

    columns: tuple[str, ...]
    rows: Callable[[Transaction], Iterator[dict[str, Any]]]
    """On a connection of `engine.snapshot`, so that all rows are of one moment."""
    about: Callable[[Transaction], int]
    """How many rows there can be, for a progress bar."""


def export_of(subject: Subject, catalogue: Catalogue) -> Export:
    """How a kind of file is written. Only units have columns of the catalogue's, one for each place."""
    match subject:
        case Subject.BOARDS:
            return Export(columns=BOARD_COLUMNS.names, rows=board_rows, about=count_boards)
        case Subject.UNITS:
            rows = partial(unit_rows, columns=place_columns(catalogue))
            return Export(columns=unit_columns(catalogue).names, rows=rows, about=count_units)
        case Subject.EVENTS:
            return Export(columns=EVENT_COLUMNS, rows=event_rows, about=last_number)
