"""Boards that can be taken from the shelf, group by group, each group in the order of its serials.

A group is a range of one index: the boards of a part with one binding, tested or not. Reading a page
takes the first boards of each range, so it costs the same however many boards there are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Any, NamedTuple

from sqlalchemy import (
    ColumnElement,
    CompoundSelect,
    Connection,
    Integer,
    Select,
    bindparam,
    cast,
    false,
    func,
    literal_column,
    not_,
    select,
    text,
    true,
    union_all,
)

from service.domain.facts.records import BLANK
from service.domain.terms import ModelId, PartNumber, Serial
from service.store.tables import BOARDS, IN_STOCK, UNITS

MANY_GROUPS = 100
"""Groups are read together up to so many; a further rank goes into a statement of its own. SQLite takes
500 in one, which bounds the groups of one rank."""


class Bound(StrEnum):
    """What the boards of a group are bound to."""

    THIS_UNIT = "this_unit"
    """They hold the serial of the unit, whatever else is known of them."""
    MODEL = "this_model"
    BLANK = "blank"
    NOT_KNOWN = "not_known"
    ANYTHING = "binds_nothing"
    """Boards of a part that binds nothing, so that whatever is recorded of it says nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Boards of one part that are equally good, their serials aside."""

    rank: int
    """Its place in the order of all groups; groups of one rank are listed as one."""
    part: PartNumber
    bound: Bound
    tested: bool
    model: ModelId | None = None
    """With `Bound.MODEL`."""
    names: bool = False
    """Whether its boards hold the serial of a unit."""


class Shelved(NamedTuple):
    """A board on the shelf, with the rank of its group. They are listed in this order."""

    rank: int
    serial: Serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What is asked for: the groups, and whose unit it is for."""

    unit: Serial
    groups: Sequence[Group]
    foreign_serials: bool
    """Whether boards that hold the serial of another unit in service are listed too."""


def shelved(connection: Connection, shelf: Shelf, after: Shelved | None, limit: int) -> list[Shelved]:
    """The next boards, in order; after one of them, else from the first."""
    found: list[Shelved] = []
    for groups in _together([group for group in shelf.groups if after is None or group.rank >= after.rank]):
        if len(found) < limit:
            found += _read(connection, shelf, groups, after, limit)
    return found[:limit]


def of_no_part(connection: Connection, limit: int) -> list[Serial]:
    """The first boards of which no part is recorded, tested ones first, then by serial."""
    return [Serial(row.serial) for row in connection.execute(_of_no_part(), {"limit": limit})]


@lru_cache(maxsize=1)
def _of_no_part() -> CompoundSelect[Any]:
    board = BOARDS.c
    ranges = [
        select(literal_column(str(rank)).label("rank"), board.serial)
        .where(text(IN_STOCK), board.part.is_(None), board.tested == tested)
        .order_by(board.serial)
        .limit(bindparam("limit"))
        .subquery()
        for rank, tested in enumerate((true(), false()))
    ]
    whole = union_all(*(select(each.c.rank, each.c.serial) for each in ranges))
    return whole.order_by(literal_column("1"), literal_column("2")).limit(bindparam("limit"))


def _together(groups: Sequence[Group]) -> list[list[Group]]:
    """The groups that go into one statement.

    INVARIANT: a rank is never split, so that what is read first comes first.
    """
    together: list[list[Group]] = []
    for rank in sorted({group.rank for group in groups}):
        same = [group for group in groups if group.rank == rank]
        if together and len(together[-1]) + len(same) <= MANY_GROUPS:
            together[-1] += same
        else:
            together.append(same)
    return together


def _read(
    connection: Connection, shelf: Shelf, groups: Sequence[Group], after: Shelved | None, limit: int
) -> list[Shelved]:
    values: dict[str, Any] = {"unit": shelf.unit, "limit": limit}
    for at, group in enumerate(groups):
        begins = after.serial if after is not None and after.rank == group.rank else ""
        values |= {f"rank{at}": group.rank, f"part{at}": group.part, f"tested{at}": group.tested}
        values |= {f"model{at}": group.model or BLANK, f"after{at}": begins}
    shapes = tuple(_Shape(group.bound, group.names and not shelf.foreign_serials) for group in groups)
    rows = connection.execute(_statement(shapes), values).all()
    return [Shelved(rank, Serial(serial)) for rank, serial in rows]


class _Shape(NamedTuple):
    """What the statement's branch of a group looks like, whatever its values."""

    bound: Bound
    own_serial_only: bool


@lru_cache(maxsize=256)
def _statement(shapes: tuple[_Shape, ...]) -> CompoundSelect[Any]:
    branches = [_branch(at, shape).subquery() for at, shape in enumerate(shapes)]
    whole = union_all(*(select(branch.c.rank, branch.c.serial) for branch in branches))
    return whole.order_by(literal_column("1"), literal_column("2")).limit(bindparam("limit"))


def _branch(at: int, shape: _Shape) -> Select[Any]:
    """The first boards of a group, from one range of one index."""
    board = BOARDS.c
    rank = cast(bindparam(f"rank{at}"), Integer).label("rank")
    chosen = (
        select(rank, board.serial)
        .where(text(IN_STOCK), board.part == bindparam(f"part{at}"))
        .where(*_bound(at, shape.bound), board.tested == bindparam(f"tested{at}"))
        .where(board.serial > bindparam(f"after{at}"))
    )
    if shape.own_serial_only:
        chosen = chosen.where(not_(_held_by_another()))
    return chosen.order_by(board.serial).limit(bindparam("limit"))


def _bound(at: int, bound: Bound) -> tuple[ColumnElement[bool], ...]:
    board = BOARDS.c
    unit: ColumnElement[str] = bindparam("unit")
    # What is bound to the unit itself is a group of its own, and stands in no other.
    other = board.held_serial.is_distinct_from(unit)
    match bound:
        case Bound.THIS_UNIT:
            return board.held_serial == unit, board.held_serial > literal_column("''")
        case Bound.MODEL | Bound.BLANK:
            return board.binding == bindparam(f"model{at}"), other
        case Bound.NOT_KNOWN:
            return board.binding.is_(None), other
        case Bound.ANYTHING:
            return ()


def _held_by_another() -> ColumnElement[bool]:
    """Whether the board holds the serial of a unit in service that is not this one.

    A value looked up for each board, not a join: so no database goes through all units for a page of boards.
    """
    unit = UNITS.c
    holder = select(unit.in_service).where(unit.serial == BOARDS.c.held_serial)
    in_service = holder.where(unit.serial != bindparam("unit")).scalar_subquery()
    return func.coalesce(in_service, false())
