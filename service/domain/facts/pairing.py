"""Are the follower and the naming board beside it introduced to each other? The pair as it will stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from service.domain.facts.board_case import Draft
from service.domain.facts.case import BoardCase, Pairing
from service.domain.facts.host import Host, naming_board
from service.domain.facts.known import Known
from service.domain.facts.records import Pair, UnitRecord
from service.domain.place import Place
from service.domain.terms import Basis, RoleId, Serial

INTRODUCED = Known(values=frozenset({"yes"}), basis=Basis.RECORDED)
NOT_INTRODUCED = Known(values=frozenset({"no"}), basis=Basis.RECORDED)
PERHAPS_INTRODUCED = Known(values=frozenset({"yes", "no"}), basis=Basis.RECORDED)


class Company(NamedTuple):
    """The boards beside each other in the resulting set, as far as they are known."""

    namer: Draft | None
    namer_comes: bool
    """It is another one than sits there now."""
    boards: Sequence[Draft]
    """All of them."""
    sitting: Mapping[Place, Draft]
    """For the place of each proposed board that sits there already what is known of it there."""
    unit: UnitRecord | None
    naming_roles: frozenset[RoleId]

    def finished(self, board: Draft) -> BoardCase:
        """A board with its pairing."""
        sits = board.proposed and board.place in self.sitting
        if sits:
            as_made = self.sitting[board.place].assumed and not board.named.stated.second_hand
            holds = self.sitting[board.place].holds if board.named.stated.silent else board.holds
            board = board._replace(assumed=as_made, holds=holds, cases={})
        pairing = self._pairing(board)
        if pairing is not Pairing.STAYS or board.introduced.values is not None:
            return board.case(pairing, board.introduced, sits=sits)
        return board.case(pairing, self._recorded(board), sits=sits)

    def _pairing(self, board: Draft) -> Pairing:
        comes = self._comes(board)
        if not comes and not self.namer_comes:
            return Pairing.STAYS
        if self._last_here(board):
            return Pairing.PUT_BACK
        if self.namer is None or not self._partners(board, self.namer):
            return Pairing.NEW
        if comes and self.namer_comes and not (self._was_here(board) and self._was_here(self.namer)):
            return Pairing.MOVED_TOGETHER
        return Pairing.PUT_BACK

    def _comes(self, board: Draft) -> bool:
        return board.proposed and board.place not in self.sitting

    def _last_here(self, board: Draft) -> bool:
        """Whether these two were the last to be introduced to each other in this unit, and neither of them
        to any other board since. For the naming board: it and the followers that nobody ever recorded."""
        pair = self.unit.last_pairs.get(board.place) if self.unit else None
        if self.unit is None or pair is None:
            return False
        if board is self.namer:
            return self._is(board, pair.naming) and _names_still(board, self.unit, pair)
        if not self._is(board, pair.follower) or not _follows_still(board, pair):
            return False
        if self.namer is None:
            return pair.naming is None and not self._naming_place_changed()
        return self._is(self.namer, pair.naming) and _names_still(self.namer, self.unit, pair)

    def _is(self, board: Draft, serial: Serial | None) -> bool:
        """Whether a board is the one that is meant: None is one that sits, never recorded, where nothing
        was ever changed."""
        assert self.unit is not None
        if serial is not None:
            return board.serial == serial
        if board.named.stated.second_hand:
            return False
        return board.named.record is None and not self._comes(board) and board.place not in self.unit.changed

    def _naming_place_changed(self) -> bool:
        assert self.unit is not None
        return any(role in self.naming_roles for role, _ in self.unit.changed)

    def _partners(self, board: Draft, namer: Draft) -> bool:
        """Whether the follower was last introduced to that naming board, and the naming board to no other
        board of that role since. It may have been introduced to one of another role later."""
        mine, others = board.named.record, namer.named.record
        if mine is None or others is None or mine.partner != others.serial:
            return False
        last = others.partner
        return last == mine.serial or any(
            each.serial == last and each.place.role != board.place.role
            for each in self.boards
            if last is not None
        )

    def _was_here(self, board: Draft) -> bool:
        record = board.named.record
        return (
            self.unit is not None
            and record is not None
            and self.unit.serial in (record.in_unit, record.donor)
        )

    def _recorded(self, board: Draft) -> Known:
        """What the ledger says of a pair that stays; nothing where it is silent."""
        if self.unit is not None and board.place in self.unit.maybe_introduced:
            return PERHAPS_INTRODUCED
        if self.unit is not None and board.place in self.unit.not_introduced:
            return NOT_INTRODUCED
        if self.namer is not None and self._partners(board, self.namer):
            return INTRODUCED
        return board.introduced


def company(proposed: Sequence[Draft], host: Host, naming_roles: frozenset[RoleId]) -> Company:
    """Who stands beside whom once the proposed boards are in."""
    sitting = {
        board.place: stays
        for board in proposed
        if (stays := host.present.get(board.place)) and stays.serial == board.serial is not None
    }
    new = naming_board(proposed, naming_roles)
    return Company(
        namer=new or host.namer,
        namer_comes=new is not None and new.place not in sitting,
        boards=(*proposed, *host.present.values()),
        sitting=sitting,
        unit=host.unit.record,
        naming_roles=naming_roles,
    )


def _names_still(board: Draft, unit: UnitRecord, pair: Pair) -> bool:
    """Whether a naming board was introduced in no other unit since; nothing else is recorded of such a thing
    for a board that nobody recorded."""
    record = board.named.record
    if record is None:
        return True
    known = record.introductions
    return known.unit in {None, unit.serial} and pair.seq >= known.since


def _follows_still(board: Draft, pair: Pair) -> bool:
    """Whether this was the last introduction of a follower."""
    record = board.named.record
    return record is None or record.introductions.last == pair.seq
