"""A unit as a line of a file: plate, papers, and the boards that the factory fitted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

from service.domain.ledger.event import EventKind, Subject, SubjectKind
from service.domain.ledger.fold import withdrawn
from service.domain.ledger.states import UnitState
from service.domain.place import Place
from service.domain.terms import Serial
from service.store.engine import Transaction
from service.store.ledger import streams
from service.store.pages import unit_pages

BEGINNINGS = frozenset({EventKind.REGISTERED, EventKind.CONVERTED})


def unit_rows(connection: Transaction, columns: Mapping[str, Place]) -> Iterator[dict[str, Any]]:
    """Every unit in service, by serial. The columns have no word for one that was taken apart."""
    for page in unit_pages(connection):
        units = [state for state in page if state.record.in_service]
        began = _beginnings(connection, units)
        yield from (_row(state, began[state.record.serial], columns) for state in units)


def _beginnings(connection: Transaction, units: Iterable[UnitState]) -> dict[Serial, datetime]:
    """When each unit was first registered."""
    events = streams(connection, [Subject(SubjectKind.UNIT, state.record.serial) for state in units])
    void = withdrawn(events)
    return {
        Serial(event.data.get("into", event.data["unit"])): event.occurred_at
        for event in reversed(events)
        if event.kind in BEGINNINGS and event.seq not in void and "unit" in event.data
    }


def _row(state: UnitState, began: datetime, columns: Mapping[str, Place]) -> dict[str, Any]:
    record, seating = state.record, state.seating
    untouched = seating.factory.keys() - seating.swapped
    boards = {name: seating.factory[place] for name, place in columns.items() if place in untouched}
    told = {
        "serial": record.serial,
        "model": record.model,
        "market": record.market,
        "made_on": record.made_on and record.made_on.isoformat(),
        "registered_on": began.date().isoformat(),
        **boards,
    }
    return {column: value for column, value in told.items() if value is not None}
