"""The worlds of a case: every way to fill in what is unknown, and what the rules say in each.

The one place where unknowns are handled. Given a hub (and the role of a board whose role is open),
places vary independently of each other, so a table of hub x place x board takes the place of the
product of all worlds. With nothing unknown it is one hub and one board in each place: the same code.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache, reduce
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.facts.case import BOARDS_KEPT, BoardFacts, CaseFacts, Pairing, board_facts
from service.domain.facts.known import NOTHING_KNOWN
from service.domain.fit.domains import NO, Beside, as_made, boards
from service.domain.fit.joined import groups_of, joints_of
from service.domain.fit.joint import Joint, Standing
from service.domain.fit.ranks import FITS_MASK, least
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.binding import bound_elsewhere
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding
from service.domain.rules.needed import need_findings
from service.domain.rules.required import empty_roles
from service.domain.terms import BindingPolicy, PartNumber, RoleId

ONLY_NO = frozenset({NO})
MAX_CELLS = 100_000
"""At most so many boards over all hubs and places; past it the answer is `cannot_tell`, `bound_exceeded`."""
FEW = 16
"""Up to so many boards in a place are kept for thousands of facts: one takes 0.7 KB with its findings."""


class BoundExceeded(Exception):
    """The case has more worlds than the evaluation goes through."""


class Cell(NamedTuple):
    """One board that may be in a place, and what the rules say of it."""

    board: Board
    verdict: Verdict
    told: tuple[Finding, ...]
    """What is to be said of it: the rules it fails, else what it needs."""


class Cells(NamedTuple):
    """Every board that may be in a place in the worlds of one hub."""

    cells: tuple[Cell, ...]
    mask: int
    """The set of their ranks; 0 where the facts leave no board."""
    binds: bool
    """Whether a part that names or follows is among them."""
    elsewhere: bool
    """Whether one bound to another model than the hub's is among them."""
    parts: frozenset[PartNumber]
    """All parts among them."""

    def mask_of(self, parts: frozenset[PartNumber]) -> int:
        """The set of the ranks of those that are of these parts."""
        if self.parts <= parts:
            return self.mask
        return _mask(cell for cell in self.cells if cell.board.part in parts)


@dataclass(slots=True, eq=False)
class Row:
    """The worlds of one hub: what each place may hold, independently of the others."""

    hub: Hub
    open_role: RoleId | None
    places: Mapping[Place, Cells]
    set_findings: Sequence[Finding]
    """Findings of the resulting set that hold in every world of this hub (an empty required place)."""
    base: int
    """The rank mask of what does not vary: empty places, an uncovered model."""
    joints: tuple[Joint, ...] = ()
    """Boards whose software may stand in the way or has to be loaded (rule 10)."""
    telling: Mapping[Place, Cells] = field(init=False)
    """The places that do more than fit in every world; the others change nothing."""
    mask: int = field(init=False)
    """The ranks that the worlds of this hub can have; 0 where the facts leave none."""

    def __post_init__(self) -> None:
        self.telling = {p: cells for p, cells in self.places.items() if cells.mask != FITS_MASK}
        if self.joints:
            self.mask = self._joined_mask()
            return
        total = self.base
        for cells in self.telling.values():
            total = least(total, cells.mask)
        self.mask = total

    def _joined_mask(self) -> int:
        joined = {place for joint in self.joints for place in joint.places}
        free = [cells.mask for place, cells in self.telling.items() if place not in joined]
        return reduce(least, (*free, *map(self.joint_mask, self.joints)), self.base)

    def joint_mask(self, joint: Joint) -> int:
        """The ranks of the boards of a joint, their own and those of their software."""
        mask = 0
        for kinds, ranks in joint.by_parts().items():
            boards = zip(joint.places, kinds, strict=True)
            mask |= reduce(least, (self.places[place].mask_of(kind) for place, kind in boards), ranks)
        return mask


def table_again(facts: CaseFacts) -> Sequence[Row]:
    """The rows with worlds of a case that was concluded; none past the bound. Nobody keeps them: a row may
    hold thousands of boards, and is soon made of what is kept of each place."""
    try:
        return [row for row in rows(facts) if row.mask]
    except BoundExceeded:
        return ()


def rows(facts: CaseFacts) -> list[Row]:
    """The table of a case. Raises BoundExceeded."""
    table = []
    left = MAX_CELLS
    for hub in facts.hubs:
        for open_role in facts.open_roles or (None,):
            row = _row(hub, facts, open_role)
            left -= sum([len(cells.cells) for cells in row.places.values()])
            if row.joints:
                left -= sum(len(joint.ways) for joint in row.joints)
            if left < 0:
                raise BoundExceeded
            table.append(row)
    return table


def cells_of(hub: Hub, board: BoardFacts, beside: Beside) -> Cells:
    """The boards that these facts leave possible in a hub, each judged by the rules.

    Kept for equal facts: the untouched places of a machine are the same from question to question.
    """
    found = few_cells(hub, board, beside)
    return many_cells(hub, board, beside) if found is None else found


@lru_cache(maxsize=BOARDS_KEPT)
def few_cells(hub: Hub, board: BoardFacts, beside: Beside) -> Cells | None:
    """The same; None where there are too many of them to be kept along with thousands of others."""
    found = _worked_out(hub, board, beside)
    return found if len(found.cells) <= FEW else None


@lru_cache(maxsize=32)
def many_cells(hub: Hub, board: BoardFacts, beside: Beside) -> Cells:
    """The same, for one question and a few after it: a megabyte each where a catalogue has 500 models."""
    return _worked_out(hub, board, beside)


def _worked_out(hub: Hub, board: BoardFacts, beside: Beside) -> Cells:
    cells = tuple(_cell(hub, found) for found in boards(hub, board, beside))
    mask = _mask(cells)
    binds = any(hub.parts[cell.board.part].binding is not BindingPolicy.FREE for cell in cells)
    elsewhere = any(bound_elsewhere(hub, cell.board) for cell in cells)
    return Cells(cells, mask, binds, elsewhere, frozenset(cell.board.part for cell in cells))


def _mask(cells: Iterable[Cell]) -> int:
    mask = 0
    for cell in cells:
        mask |= 1 << cell.verdict.rank
    return mask


def _cell(hub: Hub, board: Board) -> Cell:
    judged = verdict(hub, board)
    return Cell(board, judged, judged.findings or tuple(need_findings(hub, board, judged.needs)))


def untouched(hub: Hub, assume: bool, place: Place, pairing: Pairing = Pairing.STAYS) -> BoardFacts | None:
    """A place of which nothing is said: the factory's board, or one quite unknown. None where it is taken
    to have left the factory without one: the role is not required, and no part is listed for it.
    `pairing`: how a follower that stays there comes beside the naming board of the resulting set."""
    if assume and not hub.factory_parts(place.role) and not hub.roles[place.role].required:
        return None
    return _untouched(place, assume, pairing)


@lru_cache(maxsize=1_024)
def _untouched(place: Place, assume: bool, pairing: Pairing) -> BoardFacts:
    return board_facts(place, False, *(NOTHING_KNOWN,) * 5, pairing, assume)


def _untouched_cells(hub: Hub, assume: bool, pairing: Pairing, beside: Beside) -> Mapping[Place, Cells]:
    """What all places of a hub may hold while nothing is said of them."""
    return _as_made(hub, pairing, beside) if assume else _in_all_places(hub, False, pairing, beside)


@lru_cache(maxsize=1_024)
def _as_made(hub: Hub, pairing: Pairing, beside: Beside) -> Mapping[Place, Cells]:
    """The same as the factory left them: few boards, so that they are kept for a thousand hubs."""
    return _in_all_places(hub, True, pairing, beside)


def _in_all_places(hub: Hub, assume: bool, pairing: Pairing, beside: Beside) -> Mapping[Place, Cells]:
    found = ((place, untouched(hub, assume, place, pairing)) for place in hub.places)
    return {place: cells_of(hub, board, beside) for place, board in found if board is not None}


def _row(hub: Hub, facts: CaseFacts, open_role: RoleId | None) -> Row:
    """The resulting set in one hub: what is proposed, and what stays."""
    proposed: Sequence[BoardFacts] = facts.proposed
    if open_role is not None:
        proposed = [board for board in proposed if board.place.role == open_role]
    if not hub.covered:
        places = {board.place: cells_of(hub, board, Beside.CHANGED) for board in proposed}
        return Row(hub, open_role, places, (), 1 << OUT_OF_SCOPE)
    naming = _naming_of(hub, proposed)
    beside = beside_of(hub, facts) if naming is None else Beside.CHANGED
    places = {**_untouched_cells(hub, facts.assume, _beside_new(naming), beside)}
    for place in facts.empty:
        places.pop(place, None)
    there = (*[board for board in facts.present if board.place in hub.places], *proposed)
    for board in there:
        places[board.place] = cells_of(hub, board, beside)
    findings = empty_roles(hub, facts.empty - places.keys()) if facts.empty else ()
    base = FITS_MASK
    for found in findings:
        base = least(base, 1 << found.rule)
    for board in there:
        if board.release is not NOTHING_KNOWN:
            return Row(hub, open_role, places, findings, base, _joints(hub, places, there))
    joints = () if groups_of(hub).safe else _joints(hub, places, there)
    return Row(hub, open_role, places, findings, base, joints)


def _joints(hub: Hub, places: Mapping[Place, Cells], there: Sequence[BoardFacts]) -> tuple[Joint, ...]:
    """The boards of the resulting set of whose software there is something to say."""
    # What is proposed comes last: of what it replaces nothing counts.
    last = {board.place: board.release.values for board in there}

    def stand(place: Place) -> Standing | None:
        cells = places.get(place)
        if cells is None or not cells.cells:
            return None
        return Standing(place, cells.parts, last.get(place), not cells.cells[0].board.comes)

    return joints_of(hub, last, stand)


def _naming_of(hub: Hub, proposed: Sequence[BoardFacts]) -> BoardFacts | None:
    """The naming board that is new in the unit."""
    for board in proposed:
        if board.place.role == hub.naming_role and not board.sits:
            return board
    return None


def _beside_new(naming: BoardFacts | None) -> Pairing:
    """How a follower of which nothing is said comes beside a proposed naming board. It knows the one that
    the factory fitted, also when that was out for a while."""
    if naming is None:
        return Pairing.STAYS
    return Pairing.PUT_BACK if naming.pairing is Pairing.PUT_BACK else Pairing.NEW


def beside_of(hub: Hub, facts: CaseFacts) -> Beside:
    """The naming board that sits in the unit now, as far as a follower is concerned."""
    places = [place for place in hub.naming_places if place not in facts.empty]
    if not places:
        return Beside.NOTHING
    place = places[0]
    board = facts.present_at(place) or untouched(hub, facts.assume, place)
    if board is None:
        return Beside.NOTHING
    if board.introduced.values == ONLY_NO:
        return Beside.REPLACED
    return Beside.AS_MADE if as_made(hub, board) else Beside.CHANGED
