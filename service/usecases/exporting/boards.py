"""A board as a line of a file: what its columns can say of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from service.domain.facts.records import BLANK, BindingRecord, BoardRecord
from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.fold import withdrawn
from service.domain.ledger.states import BoardState
from service.domain.terms import Condition, Serial
from service.store.engine import Transaction
from service.store.ledger import streams
from service.store.pages import board_pages
from service.usecases.importing.cells import NONE

ARRIVALS = frozenset({EventKind.RECEIVED, EventKind.RETURNED})
MAYBE_EXPOSED = frozenset({Condition.USABLE, Condition.EXPOSED})


def board_rows(connection: Transaction) -> Iterator[dict[str, Any]]:
    """Every board, by serial. One that was only ever written down by mistake is none."""
    for page in board_pages(connection):
        told = _told_of(connection, page)
        yield from (_row(state.record, events) for state in page if (events := told[state.record.serial]))


def _told_of(connection: Transaction, page: Iterable[BoardState]) -> dict[Serial, list[Event]]:
    """What stands of each board's events."""
    subjects = [Subject(SubjectKind.BOARD, state.record.serial) for state in page]
    events = streams(connection, subjects)
    void = withdrawn(events)
    told: dict[Serial, list[Event]] = {subject.serial: [] for subject in subjects}
    for event in events:
        if event.seq not in void:
            for who in event.subjects:
                if who.kind is SubjectKind.BOARD and who.serial in told and _tells_of(event, who.serial):
                    told[who.serial].append(event)
    return told


def _tells_of(event: Event, board: Serial) -> bool:
    """A correction speaks of all that it takes back, and tells of the one board that it names."""
    return event.kind != EventKind.CORRECTED or event.data.get("board") == board


def _row(record: BoardRecord, events: Sequence[Event]) -> dict[str, Any]:
    arrivals = [event for event in events if event.kind in ARRIVALS] or events[:1]
    told = {
        "serial": record.serial,
        "part": record.part,
        **_binding(record.binding),
        "holds": _holds(record),
        "release": record.release,
        **_condition(record, events),
        "in_custody": record.in_custody,
        "received_on": arrivals[-1].occurred_at.date().isoformat(),
    }
    return {column: value for column, value in told.items() if value is not None}


def _binding(known: BindingRecord) -> Mapping[str, str]:
    """A binding that the columns have no word for is left to be read again."""
    values = known.values
    if values is None or known.contradiction or (BLANK in values and len(values) > 1):
        return {}
    if known.any_model or len(values) > 1:
        return {} if BLANK in values else {"binding": "used"}
    (value,) = values
    return {"binding": BLANK} if value == BLANK else {"binding": "bound", "bound_model": value}


def _holds(record: BoardRecord) -> str | None:
    """A blank board holds no serial, which goes without saying."""
    if record.held_serial == "":
        return None if record.binding.values == frozenset({BLANK}) else NONE
    return record.held_serial


def _condition(record: BoardRecord, events: Sequence[Event]) -> Mapping[str, Any]:
    """A failed board that may be exposed as well is told as failed: it needs a test in any case."""
    conditions = record.conditions
    if Condition.EXPOSED in conditions and conditions <= MAYBE_EXPOSED:
        exposures = [event.data["to"] for event in events if event.kind == EventKind.EXPOSED]
        word = "exposed" if len(conditions) == 1 else "maybe_exposed"
        return {"condition": word, "exposed_to": exposures[-1], "tested": False}
    (certain,) = conditions - {Condition.EXPOSED}
    return {"condition": certain.value, "tested": record.tested and certain is not Condition.FAILED}
