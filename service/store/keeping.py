"""Writing what an append worked out: events, their subjects, bindings, and the state tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from sqlalchemy import Connection, Table, insert
from sqlalchemy.dialects import postgresql, sqlite

from service.domain.ledger.bindings import Binding
from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.states import BoardState, UnitState
from service.store.board_rows import board_row
from service.store.book import Book
from service.store.packing import Row
from service.store.tables import BINDINGS, BOARDS, EVENT_SUBJECTS, EVENTS, UNITS
from service.store.unit_rows import unit_row
from service.store.vacancies import keep_vacancies

Versions = Sequence[tuple[Subject, int]]
"""The subjects of one event, each with its version after it."""


def keep(connection: Connection, book: Book, versions: Sequence[Versions]) -> None:
    """Write a book's events and bindings, and the states they lead to. `versions` go with the events."""
    _insert(connection, EVENTS, [_event_row(event) for event in book.events])
    subjects = zip(book.events, versions, strict=True)
    _insert(connection, EVENT_SUBJECTS, [row for each in subjects for row in _subject_rows(*each)])
    _insert(connection, BINDINGS, [_binding_row(binding) for binding in book.bindings])
    spoken_of = sorted({subject for event in book.events for subject in event.subjects})
    boards = [who.serial for who in spoken_of if who.kind is SubjectKind.BOARD]
    units = [who.serial for who in spoken_of if who.kind is SubjectKind.UNIT]
    keep_boards(connection, [book.states.boards[serial] for serial in boards])
    keep_units(connection, [book.states.units[serial] for serial in units])


def keep_boards(connection: Connection, states: Iterable[BoardState]) -> None:
    """Bring the rows of these boards up to date."""
    _upsert(connection, BOARDS, [board_row(state) for state in states])


def keep_units(connection: Connection, states: Iterable[UnitState]) -> None:
    """Bring the rows of these units up to date, and what is told of their empty places."""
    kept = list(states)
    _upsert(connection, UNITS, [unit_row(state) for state in kept])
    keep_vacancies(connection, [state.record for state in kept])


def _event_row(event: Event) -> Row:
    return {
        "seq": event.seq,
        "kind": event.kind,
        "occurred_at": event.occurred_at,
        "recorded_at": event.recorded_at,
        "withdraws": event.data["withdraws"] if event.kind == EventKind.CORRECTED else None,
        "data": dict(event.data),
    }


def _subject_rows(event: Event, versions: Versions) -> list[Row]:
    return [
        {"kind": kind.value, "serial": serial, "version": version, "seq": event.seq}
        for (kind, serial), version in versions
    ]


def _binding_row(binding: Binding) -> Row:
    return {"board": binding.board, "epoch": binding.epoch, "model": binding.model, "seq": binding.seq}


def _insert(connection: Connection, table: Table, rows: list[Row]) -> None:
    if rows:
        connection.execute(insert(table), rows)


def _upsert(connection: Connection, table: Table, rows: list[Row]) -> None:
    if rows:
        connection.execute(_upserting(table, connection.dialect.name), rows)


@cache
def _upserting(table: Table, dialect: str) -> Any:
    """Insert or bring up to date; only the state tables, the database refuses it for the others."""
    new = postgresql.insert(table) if dialect == "postgresql" else sqlite.insert(table)
    values = {column.name: new.excluded[column.name] for column in table.c if not column.primary_key}
    return new.on_conflict_do_update(index_elements=list(table.primary_key), set_=values)
