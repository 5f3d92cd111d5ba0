"""What else would have to change: the boards of the unit itself that stand in the way of a fit."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from collections.abc import Set as AbstractSet

from service.domain.catalogue.hub import Hub
from service.domain.fit.decision import Decision
from service.domain.fit.joined import may_go_together
from service.domain.fit.joint import Joint, Standing
from service.domain.fit.ranks import FITS_MASK, YES_MASK, least
from service.domain.fit.worlds import Row
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
from service.domain.software.task import NO_ANSWER
from service.domain.terms import Fit, PartNumber, Rule


def would_fit_if(decision: Decision) -> tuple[Place, ...]:
    """The places of boards that stay (or are missing) with which the set would fit if they were put right.

    Empty unless the answer is no and nothing but those places stands in the way, in some hub.
    """
    if decision.fit is not Fit.NO:
        return ()
    for row in decision.rows:
        if not row.hub.covered:
            continue
        faulty = _own_faults(row)
        faulty |= {place for joint in row.joints if (place := _stubborn(row, joint, faulty)) is not None}
        if faulty and _without(row, faulty) & YES_MASK:
            return tuple(sorted(faulty))
    return ()


def may_mend(rows: Sequence[Row], place: Place, part: PartNumber) -> bool:
    """Whether a board of this part in a place leaves no software that can't be brought to go together."""
    joints = ((row, joint) for row in rows for joint in row.joints if place in joint.places)
    return all(_with_another(row, joint, place, part) for row, joint in joints)


def _own_faults(row: Row) -> set[Place]:
    """Places of the unit itself where no possible board passes."""
    staying = {
        place
        for place, there in row.places.items()
        if all(not c.board.proposed and c.verdict.rank < OUT_OF_SCOPE for c in there.cells)
    }
    return staying | {found.place for found in row.set_findings}


def _stubborn(row: Row, joint: Joint, faulty: AbstractSet[Place]) -> Place | None:
    """Of boards whose software can't be brought to go together the one that stays and might be another, the
    naming board last. None where there is none, or where a board there is to be another anyway."""
    if any(way.rank > Rule.RELEASES for way in joint.ways) or not faulty.isdisjoint(joint.places):
        return None
    staying = (place for place in joint.places if not row.places[place].cells[0].board.proposed)
    for place in sorted(staying, key=lambda place: place.role == row.hub.naming_role):
        if any(_with_another(row, joint, place, part) for part in _listed(row.hub, place)):
            return place
    return None


def _listed(hub: Hub, place: Place) -> Iterator[PartNumber]:
    parts = hub.compiled.parts_of_role.get(place.role, ())
    yield from (number for number in parts if hub.lists(number) and hub.sells(number))


def _with_another(row: Row, joint: Joint, changed: Place, part: PartNumber) -> bool:
    """Whether the boards may go together with another part in a place, whatever is on it."""
    there = []
    for at, place in enumerate(joint.places):
        names = frozenset(name for way in joint.ways for name in way.releases[at] if name != NO_ANSWER)
        known = Standing(place, row.places[place].parts, names or None, stays=False)
        there.append(Standing(place, frozenset((part,)), None, stays=False) if place == changed else known)
    return may_go_together(row.hub, there)


def _without(row: Row, faulty: Collection[Place]) -> int:
    mask = FITS_MASK
    for place, cells in row.places.items():
        if place not in faulty:
            mask = least(mask, cells.mask)
    for joint in row.joints:
        if set(faulty).isdisjoint(joint.places):
            mask = least(mask, joint.mask)
    return mask
