"""Records as a question gathers them: the states of boards and units, put together.

What one state cannot know by itself is added here: whether the holder of a serial is in service,
whether the donor is under a hold, which boards sit in a unit, and which pairs still stand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from service.domain.facts.records import BoardRecord, Records, UnitRecord
from service.domain.ledger.fold import States
from service.domain.ledger.pairs import last_pairs, standing
from service.domain.ledger.states import BoardState, UnitState
from service.domain.place import Place
from service.domain.terms import RoleId, Serial


def looked_up(board: BoardState, *, holder_in_service: bool, donor_held: bool) -> BoardRecord:
    """A board's record with its holder and donor looked up; a unit that is not recorded is neither."""
    record = board.record
    holder = holder_in_service if record.held_serial else None
    if record.holder_in_service == holder and record.donor_held == donor_held:
        return record
    return record._replace(holder_in_service=holder, donor_held=donor_held)


def seated(unit: UnitState, boards: Iterable[BoardState]) -> dict[Place, BoardState]:
    """Which of the boards that are recorded in the unit sit where; the unit's last word decides."""
    here: dict[Place, BoardState] = {}
    for board in boards:
        if board.record.role is not None:
            place = Place(board.record.role, board.record.place)
            if unit.seating.occupants.get(place) == board.record.serial:
                here[place] = board
    return here


def unit_record(
    unit: UnitState,
    boards: Mapping[Place, BoardState],
    records: Mapping[tuple[RoleId, str], BoardRecord],
) -> UnitRecord:
    """A unit's record with the boards that sit in it, as `seated` found them.

    A place whose last board is now recorded elsewhere is changed: nobody knows what sits there.
    """
    record, pairs = unit.record, standing(unit, boards)
    strayed = unit.seating.occupants.keys() - boards.keys()
    return record._replace(
        boards=records,
        changed=record.changed | strayed if strayed else record.changed,
        not_introduced=pairs.broken,
        maybe_introduced=pairs.open,
        last_pairs=last_pairs(unit),
    )


def gathered(
    states: States, board_serials: Iterable[Serial], unit_serials: Iterable[Serial], ledger_version: int
) -> Records:
    """The records of these boards and units; what no event spoke of is left out."""
    boards = {
        serial: _board(states, states.boards[serial]) for serial in board_serials if serial in states.boards
    }
    units = {serial: _unit(states, states.units[serial]) for serial in unit_serials if serial in states.units}
    return Records(boards=boards, units=units, ledger_version=ledger_version)


def _board(states: States, board: BoardState) -> BoardRecord:
    holder = states.units.get(board.record.held_serial or Serial(""))
    donor = states.units.get(board.record.donor or Serial(""))
    return looked_up(
        board,
        holder_in_service=holder is not None and holder.record.in_service,
        donor_held=donor is not None and bool(donor.record.holds),
    )


def _unit(states: States, unit: UnitState) -> UnitRecord:
    inside = (board for board in states.boards.values() if board.record.in_unit == unit.record.serial)
    boards = seated(unit, inside)
    return unit_record(unit, boards, {place: _board(states, board) for place, board in boards.items()})
