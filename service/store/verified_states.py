"""Whether bindings and the states of boards and units are what the events lead to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, func, select, tuple_

from service.domain.ledger.bindings import Binding, bindings_in, first_binding
from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import Serial
from service.store.among import among, bound_set
from service.store.board_rows import board_row
from service.store.ledger import streams
from service.store.packing import Row
from service.store.past import folded
from service.store.tables import BINDINGS, BOARDS, UNITS, VACANCIES
from service.store.unit_rows import unit_row
from service.store.vacancies import vacancies_of
from service.store.verified_events import SUBJECT, UNREADABLE, Progress, listed

CHUNK = 1_000
"""Boards and units that are looked at together."""


def state_faults(connection: Connection, progress: Progress) -> Iterator[str]:
    """Bindings and state tables against what the events lead to."""
    expected = dict.fromkeys((BOARDS, UNITS, VACANCIES), 0)
    for subjects in _subjects_in_chunks(connection):
        events = streams(connection, subjects)
        try:
            states = folded(events, subjects)
        except UNREADABLE:
            yield f"the states from {listed(subjects[:1])} to {listed(subjects[-1:])} cannot be worked out"
            continue
        yield from _binding_faults(connection, events, list(states.boards))
        rows = _rows(states.boards.values(), states.units.values())
        for table, wanted in rows.items():
            expected[table] += len(wanted)
            yield from _differences(connection, table, wanted)
        progress.on(len(subjects))
    for table, count in expected.items():
        more = connection.execute(select(func.count()).select_from(table)).scalar_one() - count
        if more > 0:
            yield f"{table.name} has {more} rows of which no event speaks"


def _subjects_in_chunks(connection: Connection) -> Iterator[list[Subject]]:
    each = select(*SUBJECT).distinct().order_by(*SUBJECT).limit(CHUNK)
    rows = connection.execute(each).all()
    while rows:
        yield [Subject(SubjectKind(kind), Serial(serial)) for kind, serial in rows]
        rows = connection.execute(each.where(tuple_(*SUBJECT) > tuple(rows[-1]))).all()


def _rows(boards: Iterable[BoardState], units: Iterable[UnitState]) -> dict[Table, list[Row]]:
    """What the state tables should hold of these."""
    kept = list(units)
    vacant = [each for state in kept for each in vacancies_of(state.record)]
    return {
        BOARDS: [board_row(state) for state in boards],
        UNITS: [unit_row(state) for state in kept],
        VACANCIES: [{"role": each.role, "unit": each.unit, "place": each.name} for each in vacant],
    }


def _differences(connection: Connection, table: Table, wanted: Sequence[Row]) -> Iterator[str]:
    """Rows that are missing or say something else. Rows too many are counted elsewhere."""
    keys = list(table.primary_key)
    owner = table.c.unit if table is VACANCIES else keys[0]
    there = _by_key(connection, table, owner, {row[owner.name] for row in wanted})
    for row in wanted:
        found = there.get(tuple(row[key.name] for key in keys))
        if found != row:
            names = " ".join(str(row[key.name]) for key in keys if row[key.name])
            what = "is missing" if found is None else "is not what the events lead to"
            yield f"the row {names} of {table.name} {what}"


def _by_key(
    connection: Connection, table: Table, owner: ColumnElement[Any], serials: Iterable[str]
) -> dict[tuple[Any, ...], Row]:
    dialect, keys = connection.dialect.name, list(table.primary_key)
    chosen = select(table).where(among(owner, "serials", dialect))
    rows = connection.execute(chosen, {"serials": bound_set(list(serials), dialect)}).mappings()
    return {tuple(row[key.name] for key in keys): dict(row) for row in rows}


def _binding_faults(
    connection: Connection, events: Sequence[Event], boards: Sequence[Serial]
) -> Iterator[str]:
    """Each binding is told by its event, each epoch but the first follows on a correction, and the last
    one is the first that stands."""
    numbered = {event.seq: event for event in events}
    void = {event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED}
    kept = {board: list(rows) for board, rows in groupby(_kept(connection, boards), lambda row: row.board)}
    speaking = _streams_of(events, boards)
    for board in boards:
        bindings = kept.get(board, [])
        for epoch, each in enumerate(bindings, 1):
            event = numbered.get(each.seq)
            if event is None or (board, each.model) not in set(bindings_in(event)):
                yield f"board {board} is kept as bound by event {each.seq}, which does not say so"
            if each.epoch != epoch or (epoch < len(bindings) and each.seq not in void):
                yield f"the binding of board {board} changed without a correction"
        standing = [each.seq for each in bindings[-1:] if each.seq not in void]
        first = first_binding(board, speaking[board], len(bindings))
        if standing != ([first.seq] if first else []):
            yield f"the binding of board {board} is not the first that its events tell"


def _streams_of(events: Sequence[Event], boards: Iterable[Serial]) -> dict[Serial, list[Event]]:
    found: dict[Serial, list[Event]] = {board: [] for board in boards}
    for event in events:
        for kind, serial in event.subjects:
            if kind is SubjectKind.BOARD and serial in found:
                found[serial].append(event)
    return found


def _kept(connection: Connection, boards: Sequence[Serial]) -> list[Binding]:
    dialect = connection.dialect.name
    chosen = select(BINDINGS).where(among(BINDINGS.c.board, "boards", dialect))
    chosen = chosen.order_by(BINDINGS.c.board, BINDINGS.c.epoch)
    rows = connection.execute(chosen, {"boards": bound_set(boards, dialect)}).mappings()
    return [Binding(**row) for row in rows]
