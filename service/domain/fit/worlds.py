"""The worlds of a case: every way to fill in what is unknown, and what the rules say in each.

The one place where unknowns are handled. Given a hub (and the role of a board whose role is open),
places vary independently of each other, so a table of hub x place x board takes the place of the
product of all worlds. With nothing unknown it is one hub and one board in each place: the same code.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.facts.case import BoardFacts, CaseFacts, Pairing, board_facts
from service.domain.facts.known import NOTHING_KNOWN
from service.domain.fit.domains import boards
from service.domain.fit.ranks import FITS_MASK, least
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding
from service.domain.rules.required import empty_roles
from service.domain.terms import RoleId

MAX_CELLS = 100_000
"""At most so many boards over all hubs and places; past it the answer is `cannot_tell`, `bound_exceeded`."""


class BoundExceeded(Exception):
    """The case has more worlds than the evaluation goes through."""


class Cell(NamedTuple):
    """One board that may be in a place, and what the rules say of it."""

    board: Board
    verdict: Verdict


class Cells(NamedTuple):
    """Every board that may be in a place in the worlds of one hub."""

    cells: tuple[Cell, ...]
    mask: int
    """The set of their ranks; 0 where the facts leave no board."""


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
    mask: int = field(init=False)
    """The ranks that the worlds of this hub can have; 0 where the facts leave none."""

    def __post_init__(self) -> None:
        total = self.base
        for cells in self.places.values():
            total = least(total, cells.mask)
        self.mask = total


def rows(facts: CaseFacts) -> list[Row]:
    """The table of a case. Raises BoundExceeded."""
    table = []
    left = MAX_CELLS
    for hub in facts.hubs:
        for open_role in facts.open_roles or (None,):
            row = _row(hub, facts, open_role)
            left -= sum(len(cells.cells) for cells in row.places.values())
            if left < 0:
                raise BoundExceeded
            table.append(row)
    return table


@lru_cache(maxsize=65_536)
def cells_of(hub: Hub, board: BoardFacts, namer: bool) -> Cells:
    """The boards that these facts leave possible in a hub, each judged by the rules.

    Kept for equal facts: the untouched places of a machine are the same from question to question.
    """
    cells = tuple(Cell(found, verdict(hub, found)) for found in boards(hub, board, namer=namer))
    mask = 0
    for cell in cells:
        mask |= 1 << cell.verdict.rank
    return Cells(cells, mask)


def resulting(hub: Hub, facts: CaseFacts, open_role: RoleId | None) -> dict[Place, BoardFacts]:
    """The resulting set in one hub: what is proposed, and what stays."""
    found = {
        board.place: board for board in facts.proposed if open_role is None or board.place.role == open_role
    }
    if not hub.covered:
        return found
    swapped = any(place.role == hub.naming_role for place in found)
    present = {board.place: board for board in facts.present}
    for place in hub.places:
        if place not in found and place not in facts.empty:
            stays = present.get(place) or untouched(hub, facts.assume, place, swapped=swapped)
            if stays is not None:
                found[place] = stays
    return found


def untouched(hub: Hub, assume: bool, place: Place, *, swapped: bool) -> BoardFacts | None:
    """A place of which nothing is said: the factory's board, or one quite unknown. None where the unit
    may well have left the factory without one: the role is not required, and no part is listed for it."""
    if not hub.factory_parts(place.role) and not hub.roles[place.role].required:
        return None
    return _untouched(place, assume, Pairing.NEW if swapped else Pairing.STAYS)


@lru_cache(maxsize=4_096)
def _untouched(place: Place, assume: bool, pairing: Pairing) -> BoardFacts:
    return board_facts(place, False, *(NOTHING_KNOWN,) * 5, pairing, assume)


def _row(hub: Hub, facts: CaseFacts, open_role: RoleId | None) -> Row:
    there = resulting(hub, facts, open_role)
    namer = any(place.role == hub.naming_role for place in there)
    findings: Sequence[Finding] = ()
    base = FITS_MASK if hub.covered else 1 << OUT_OF_SCOPE
    if facts.empty and hub.covered:
        findings = empty_roles(hub, facts.empty - there.keys())
        for found in findings:
            base = least(base, 1 << found.rule)
    places = {place: cells_of(hub, board, namer) for place, board in there.items()}
    return Row(hub, open_role, places, findings, base)
