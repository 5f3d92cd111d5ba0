"""The worlds of a case: every way to fill in what is unknown, and what the rules say in each.

The one place where unknowns are handled. Given a hub (and the role of a board whose role is open),
places vary independently of each other, so a table of hub x place x board takes the place of the
product of all worlds. With nothing unknown it is one hub and one board in each place: the same code.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.hub import Hub
from service.domain.facts.case import BoardCase, Case, Pairing
from service.domain.fit.domains import boards
from service.domain.fit.ranks import FITS_MASK, least
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding
from service.domain.rules.required import empty_roles
from service.domain.terms import MarketId, ModelId, RoleId

MAX_CELLS = 100_000
"""At most so many boards over all hubs and places; past it the answer is `cannot_tell`, `bound_exceeded`."""


class BoundExceeded(Exception):
    """The case has more worlds than the evaluation goes through."""


class Cell(NamedTuple):
    """One board that may be in a place, and what the rules say of it."""

    board: Board
    verdict: Verdict


@dataclass(slots=True)
class Row:
    """The worlds of one hub: what each place may hold, independently of the others."""

    hub: Hub
    open_role: RoleId | None
    places: dict[Place, list[Cell]]
    set_findings: list[Finding]
    """Findings of the resulting set that hold in every world of this hub (an empty required place)."""
    base: int
    """The rank mask of what does not vary: empty places, an uncovered model, untouched places."""

    def mask(self) -> int:
        """The ranks that the worlds of this hub can have; 0 where the facts leave none."""
        total = self.base
        for cells in self.places.values():
            total = least(total, mask_of(cells))
        return total


def mask_of(cells: Iterable[Cell]) -> int:
    """The set of ranks of some cells."""
    mask = 0
    for cell in cells:
        mask |= 1 << cell.verdict.rank
    return mask


def rows(compiled: CompiledCatalogue, case: Case) -> list[Row]:
    """The table of a case. Raises BoundExceeded."""
    table = []
    left = MAX_CELLS
    for hub in hubs(compiled, case):
        for open_role in case.open_roles or (None,):
            row = _row(hub, case, open_role, left)
            left -= sum(map(len, row.places.values()))
            table.append(row)
    return table


def hubs(compiled: CompiledCatalogue, case: Case) -> Iterator[Hub]:
    """Every unit that the case may be about: model, serial cell, date cell, market."""
    unit = case.unit
    models = compiled.models if unit.model.values is None else sorted(unit.model.values)
    for model_id in models:
        model = compiled.models[ModelId(model_id)]
        markets = model.model.markets if unit.market.values is None else unit.market.values
        cells = product(unit.serial_cells(model), unit.date_cells(model), sorted(markets))
        for serial_cell, date_cell, market in cells:
            yield model.hub(serial_cell, date_cell, MarketId(market))


def resulting(hub: Hub, case: Case, open_role: RoleId | None) -> Mapping[Place, BoardCase]:
    """The resulting set in one hub: what is proposed, and what stays. Untouched places are left out
    where a factory board is assumed there that cannot matter (`_dull`)."""
    proposed = {
        board.place: board for board in case.proposed if open_role is None or board.place.role == open_role
    }
    if not hub.covered:
        return proposed
    swapped = any(place.role == hub.naming_role for place in proposed)
    found = dict(proposed)
    for place in hub.places:
        if place in found or place in case.empty:
            continue
        stays = case.present.get(place)
        if stays is None:
            stays = untouched(hub, case, place, swapped)
        if stays is not None:
            found[place] = stays
    return found


def untouched(hub: Hub, case: Case, place: Place, swapped: bool) -> BoardCase | None:
    """A place of which nothing is said: the factory's board, or one quite unknown. None where the unit
    may well have left the factory without one: the role is not required, and no part is listed for it."""
    if not hub.factory_parts(place.role) and not hub.roles[place.role].required:
        return None
    pairing = Pairing.NEW if swapped else Pairing.STAYS
    return BoardCase(place=place, proposed=False, assumed=case.assume, pairing=pairing)


def _row(hub: Hub, case: Case, open_role: RoleId | None, left: int) -> Row:
    boards_there = resulting(hub, case, open_role)
    namer = any(place.role == hub.naming_role for place in boards_there)
    findings = empty_roles(hub, case.empty - boards_there.keys()) if hub.covered else []
    base = FITS_MASK if hub.covered else 1 << OUT_OF_SCOPE
    for found in findings:
        base = least(base, 1 << found.rule)
    places: dict[Place, list[Cell]] = {}
    for place, board in boards_there.items():
        places[place] = cells = []
        for world_board in boards(hub, board, namer=namer):
            cells.append(Cell(world_board, verdict(hub, world_board)))
            if len(cells) > left:
                raise BoundExceeded
        left -= len(cells)
    return Row(hub=hub, open_role=open_role, places=places, set_findings=findings, base=base)
