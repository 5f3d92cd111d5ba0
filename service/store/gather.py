"""What the ledger knows of any boards and units, in one statement however many they are.

One question is a batch of one: there is no second way. The statement's branches bring the boards
that were asked for, the boards that sit in the units asked for, the units, and the ledger's version,
so all of it is of one moment even without a transaction around it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Any, NamedTuple

from sqlalchemy import (
    ColumnElement,
    CompoundSelect,
    Connection,
    Select,
    func,
    literal_column,
    null,
    select,
    union_all,
)

from service.domain.facts.records import BoardRecord, Records, UnitRecord
from service.domain.ledger.records import seated, unit_record
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import Serial
from service.store.among import among, bound_set, is_bound
from service.store.board_rows import BOARD_COLUMNS, board_state
from service.store.past import gather_past
from service.store.tables import BOARDS, EVENTS, UNITS
from service.store.unit_rows import unit_state

_ASKED, _INSIDE, _UNIT, _VERSION = range(4)
"""The branch that a row came from, its last column."""

_WIDTH = len(BOARD_COLUMNS)
_IN_UNIT = BOARD_COLUMNS.index(BOARDS.c.in_unit)


def gather(
    connection: Connection,
    board_serials: Collection[Serial],
    unit_serials: Collection[Serial],
    as_of: datetime | None = None,
) -> Records:
    """The records of these boards and units; what nothing is recorded of is left out.

    `as_of` takes the ledger as it stood at that moment (by `recorded_at`); None is now.
    """
    if as_of is not None:
        return gather_past(connection, board_serials, unit_serials, as_of)
    dialect = connection.dialect.name
    boards, units = _which(board_serials, dialect), _which(unit_serials, dialect)
    bound = {"boards": boards.bound, "units": units.bound}
    gathered = _Gathered()
    gathered.take(
        connection.execute(statement(dialect, one_board=boards.single, one_unit=units.single), bound).all()
    )
    return gathered.records()


class _Which(NamedTuple):
    """The serials that are asked for, as they are bound."""

    bound: object
    single: bool


def _which(serials: Collection[Serial], dialect: str) -> _Which:
    if len(serials) == 1:
        return _Which(next(iter(serials)), single=True)
    return _Which(bound_set(serials, dialect), single=False)


@dataclass(slots=True)
class _Gathered:
    """What the rows bring, sorted by branch."""

    boards: dict[Serial, BoardRecord] = field(default_factory=dict)
    inside: dict[Serial, list[BoardState]] = field(default_factory=dict)
    units: list[UnitState] = field(default_factory=list)
    version: int = 0

    def take(self, rows: Iterable[Any]) -> None:
        for row in rows:
            branch = row[-1]
            if branch == _ASKED:
                self.boards[row[0]] = _board(row).record
            elif branch == _INSIDE:
                self.inside.setdefault(row[_IN_UNIT], []).append(_board(row))
            elif branch == _UNIT:
                self.units.append(_unit(row))
            else:
                self.version = row[1] or 0

    def records(self) -> Records:
        units = {unit.record.serial: self._unit_record(unit) for unit in self.units}
        return Records(boards=self.boards, units=units, ledger_version=self.version)

    def _unit_record(self, unit: UnitState) -> UnitRecord:
        # The rows come in whatever order the database finds best; an answer lists the boards in one order.
        inside = sorted(self.inside.get(unit.record.serial, ()), key=_serial)
        boards = seated(unit, inside)
        return unit_record(unit, boards, {place: board.record for place, board in boards.items()})


@cache
def statement(dialect: str, *, one_board: bool = False, one_unit: bool = False) -> CompoundSelect[Any]:
    """The one statement, with `boards` and `units` to bind: sets, or single serials."""

    def asked(column: ColumnElement[Any], name: str, *, single: bool) -> ColumnElement[bool]:
        return is_bound(column, name) if single else among(column, name, dialect)

    return union_all(
        _boards(asked(BOARDS.c.serial, "boards", single=one_board), _ASKED),
        _boards(asked(BOARDS.c.in_unit, "units", single=one_unit), _INSIDE),
        _units(asked(UNITS.c.serial, "units", single=one_unit)),
        _padded(null(), func.max(EVENTS.c.seq), branch=_VERSION),
    )


def _boards(which: ColumnElement[bool], branch: int) -> Select[Any]:
    holder, donor = UNITS.alias("holder"), UNITS.alias("donor")
    joined = BOARDS.outerjoin(holder, holder.c.serial == BOARDS.c.held_serial)
    joined = joined.outerjoin(donor, donor.c.serial == BOARDS.c.donor)
    looked_up: tuple[ColumnElement[Any], ...] = (
        holder.c.in_service,
        donor.c.held,
        literal_column(str(branch)),
    )
    return select(*BOARD_COLUMNS, *looked_up).select_from(joined).where(which)


def _units(which: ColumnElement[bool]) -> Select[Any]:
    """A unit's columns under the boards' of the same type; `_unit` takes them from there."""
    unit = UNITS.c
    texts = (unit.model, unit.market, unit.made_on, *[null()] * 7)
    flags = (unit.registered, unit.in_service, null())
    return _padded(unit.serial, unit.version, *texts, *flags, unit.rest, branch=_UNIT).where(which)


def _padded(*columns: ColumnElement[Any], branch: int) -> Select[Any]:
    """A branch as wide as the boards'. Their columns come first, so they give every NULL its type."""
    missing = _WIDTH + 2 - len(columns)
    return select(*columns, *[null()] * missing, literal_column(str(branch)))


def _serial(board: BoardState) -> Serial:
    return board.record.serial


def _board(row: Any) -> BoardState:
    in_service, donor_held = row[_WIDTH : _WIDTH + 2]
    return board_state(row[:_WIDTH], holder_in_service=bool(in_service), donor_held=bool(donor_held))


def _unit(row: Any) -> UnitState:
    serial, version, model, market, made_on, *_, registered, in_service, _, rest, _, _, _ = row
    return unit_state((serial, version, registered, in_service, model, market, made_on, rest))
