"""What the ledger holds of some boards and units, for an append to work on: read by set."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache
from typing import Any

from sqlalchemy import Connection, Select, select

from service.domain.ledger.bindings import Binding
from service.domain.ledger.fold import States
from service.domain.terms import Serial
from service.store.among import among, bound_set
from service.store.board_rows import BOARD_COLUMNS, board_state
from service.store.tables import BINDINGS, BOARDS, EVENTS, UNITS
from service.store.unit_rows import UNIT_COLUMNS, unit_state


def states_of(connection: Connection, boards: Collection[Serial], units: Collection[Serial]) -> States:
    """The states in force of these boards and units, those that there are."""
    dialect, states = connection.dialect.name, States()
    if boards:
        for row in connection.execute(_boards(dialect), {"boards": bound_set(boards, dialect)}).all():
            states.boards[row[0]] = board_state(row)
    if units:
        for row in connection.execute(_units(dialect), {"units": bound_set(units, dialect)}).all():
            states.units[row[0]] = unit_state(row)
    return states


def bindings_of(connection: Connection, boards: Collection[Serial]) -> tuple[dict[Serial, Binding], set[int]]:
    """The last binding of each of these boards, and the numbers of the binding events that were withdrawn."""
    last: dict[Serial, Binding] = {}
    void: set[int] = set()
    if not boards:
        return last, void
    dialect = connection.dialect.name
    for row in connection.execute(_bindings(dialect), {"boards": bound_set(boards, dialect)}):
        last[row.board] = Binding(board=row.board, epoch=row.epoch, model=row.model, seq=row.seq)
        if row.withdrawn_by is not None:
            void.add(row.seq)
    return last, void


@cache
def _boards(dialect: str) -> Select[Any]:
    return select(*BOARD_COLUMNS).where(among(BOARDS.c.serial, "boards", dialect))


@cache
def _units(dialect: str) -> Select[Any]:
    return select(*UNIT_COLUMNS).where(among(UNITS.c.serial, "units", dialect))


@cache
def _bindings(dialect: str) -> Select[Any]:
    joined = BINDINGS.outerjoin(EVENTS, EVENTS.c.withdraws == BINDINGS.c.seq)
    chosen = select(BINDINGS, EVENTS.c.seq.label("withdrawn_by")).select_from(joined)
    return chosen.where(among(BINDINGS.c.board, "boards", dialect)).order_by(BINDINGS.c.epoch)
