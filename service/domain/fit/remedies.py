"""What else would have to change: the boards of the unit itself that stand in the way of a fit."""

from __future__ import annotations

from collections.abc import Collection

from service.domain.fit.decision import Decision
from service.domain.fit.ranks import FITS_MASK, YES_MASK, least
from service.domain.fit.worlds import Row
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
from service.domain.terms import Fit


def would_fit_if(decision: Decision) -> tuple[Place, ...]:
    """The places of boards that stay (or are missing) with which the set would fit if they were put right.

    Empty unless the answer is no and nothing but those places stands in the way, in some hub.
    """
    if decision.fit is not Fit.NO:
        return ()
    for row in decision.rows:
        faulty = _own_faults(row)
        if row.hub.covered and faulty and _without(row, faulty) & YES_MASK:
            return tuple(sorted(faulty))
    return ()


def _own_faults(row: Row) -> set[Place]:
    """Places of the unit itself where no possible board passes."""
    staying = {
        place
        for place, there in row.places.items()
        if all(not c.board.proposed and c.verdict.rank < OUT_OF_SCOPE for c in there.cells)
    }
    return staying | {found.place for found in row.set_findings}


def _without(row: Row, faulty: Collection[Place]) -> int:
    mask = FITS_MASK
    for place, cells in row.places.items():
        if place not in faulty:
            mask = least(mask, cells.mask)
    return mask
