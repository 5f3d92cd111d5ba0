"""All boards and all units, page by page, in the order of their serials."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, Select, Table, func, select

from service.domain.ledger.states import BoardState, UnitState
from service.store.board_rows import BOARD_COLUMNS, board_state
from service.store.tables import BOARDS, UNITS
from service.store.unit_rows import UNIT_COLUMNS, unit_state

PAGE = 1_000


def board_pages(connection: Connection) -> Iterator[list[BoardState]]:
    """The boards that any event speaks of. The connection is one of `engine.snapshot`."""
    for rows in _pages(connection, select(*BOARD_COLUMNS), BOARDS):
        yield [board_state(row) for row in rows]


def unit_pages(connection: Connection) -> Iterator[list[UnitState]]:
    """The units that any event speaks of. The connection is one of `engine.snapshot`."""
    for rows in _pages(connection, select(*UNIT_COLUMNS), UNITS):
        yield [unit_state(row) for row in rows]


def count_boards(connection: Connection) -> int:
    """How many boards any event speaks of."""
    return _count(connection, BOARDS)


def count_units(connection: Connection) -> int:
    """How many units any event speaks of."""
    return _count(connection, UNITS)


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def _pages(connection: Connection, chosen: Select[Any], table: Table) -> Iterator[list[Any]]:
    """Each page begins behind the last key of the one before: no page costs more than another."""
    each = chosen.order_by(table.c.serial).limit(PAGE)
    rows = list(connection.execute(each).all())
    while rows:
        yield rows
        rows = list(connection.execute(each.where(table.c.serial > rows[-1][0])).all())
