"""Are the follower and the naming board beside it introduced to each other? The pair as it will stand."""

from __future__ import annotations

from collections.abc import Iterable

from service.domain.facts.board_case import Draft
from service.domain.facts.case import BoardCase, Pairing
from service.domain.facts.known import Known
from service.domain.facts.records import UnitRecord
from service.domain.terms import Basis, RoleId


def finished(board: Draft, namer: Draft | None, namer_proposed: bool, unit: UnitRecord | None) -> BoardCase:
    """A board with its pairing, given the naming board of the resulting set where one is known."""
    pairing = _pairing(board, namer, namer_proposed, unit)
    if pairing is not Pairing.STAYS or board.introduced.values is not None:
        return board.case(pairing, board.introduced)
    return board.case(pairing, _recorded(board, namer, unit))


def naming_board(boards: Iterable[Draft], naming_roles: frozenset[RoleId]) -> Draft | None:
    """The board in a naming role, if one is there."""
    return next((board for board in boards if board.place.role in naming_roles), None)


def _pairing(board: Draft, namer: Draft | None, namer_proposed: bool, unit: UnitRecord | None) -> Pairing:
    if not board.proposed and not namer_proposed:
        return Pairing.STAYS
    if namer is None or not _partners(board, namer):
        return Pairing.NEW
    if board.proposed and namer_proposed and not (_was_in(board, unit) and _was_in(namer, unit)):
        return Pairing.MOVED_TOGETHER
    return Pairing.PUT_BACK


def _partners(one: Draft, other: Draft) -> bool:
    """Whether each was last introduced to the other, as recorded."""
    mine, others = one.named.record, other.named.record
    if mine is None or others is None:
        return False
    return mine.partner == others.serial and others.partner == mine.serial


def _was_in(board: Draft, unit: UnitRecord | None) -> bool:
    record = board.named.record
    return unit is not None and record is not None and unit.serial in (record.in_unit, record.donor)


def _recorded(board: Draft, namer: Draft | None, unit: UnitRecord | None) -> Known:
    """What the ledger says of a pair that stays; nothing where it is silent."""
    place = (board.place.role, board.place.name)
    if unit is not None and place in unit.maybe_introduced:
        return Known(values=frozenset({"yes", "no"}), basis=Basis.RECORDED)
    if unit is not None and place in unit.not_introduced:
        return Known(values=frozenset({"no"}), basis=Basis.RECORDED)
    if namer is not None and _partners(board, namer):
        return Known(values=frozenset({"yes"}), basis=Basis.RECORDED)
    return board.introduced
