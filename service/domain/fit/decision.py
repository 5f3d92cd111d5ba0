"""The decision: both axes, the outcome, and every reason with whether it decides and whether it is certain.

Reads the table of worlds (`worlds`) once. A rule's finding *decides* where its rule is the first to fail
in some world; it is *certain* where it is found in all worlds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import product
from typing import NamedTuple

from service.domain.facts.case import CaseFacts
from service.domain.fit.joint import Joint, Way
from service.domain.fit.ranks import FITS_MASK, NO_MASK, SCOPE_MASK, TOOL_MASK, YES_MASK
from service.domain.fit.worlds import Cell, Row, rows
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
from service.domain.rules.binding import among_themselves
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Fit, Outcome, PartNumber, Programming, RoleId, Rule

UNIT = Place(RoleId(""))
"""Where a finding about the unit itself stands."""


class Told(NamedTuple):
    """A finding in one hub: whether it decides in some world there, and whether it is in all of them."""

    finding: Finding
    deciding: bool
    certain: bool


@dataclass(frozen=True, slots=True)
class Reason:
    """The findings of one code in one place, weighed over all worlds."""

    code: str
    rule: Rule
    place: Place
    fact: str
    """The attribute of the place that it rests on; empty for the unit's own facts."""
    facts: Mapping[str, tuple[str, ...]]
    """Further facts by name, with every value that they have in some world."""
    deciding: bool
    certain: bool


class Decision(NamedTuple):
    """What the worlds agree on."""

    mask: int
    """The ranks that worlds have; 0 where the facts leave no world."""
    fit: Fit
    programming: Programming
    reasons: tuple[Reason, ...]
    rows: Sequence[Row]
    past_bound: bool = False
    """There were more worlds than the evaluation goes through, and none was looked at."""

    @property
    def outcome(self) -> Outcome:
        """The view of the two axes."""
        return outcome(self.fit, self.programming)


@cache
def outcome(fit: Fit, programming: Programming) -> Outcome:
    """The one truth table from axes to outcome."""
    match fit:
        case Fit.NO:
            return Outcome.DOES_NOT_FIT
        case Fit.UNKNOWN:
            return Outcome.CANNOT_TELL
        case Fit.YES:
            return Outcome.FITS if programming is Programming.NONE else Outcome.FITS_WITH_PROGRAMMING


def decide(facts: CaseFacts) -> Decision:
    """Judge a case in all of its worlds. Raises BoundExceeded past `worlds.MAX_CELLS`."""
    table = [row for row in rows(facts) if row.mask]
    mask = 0
    for row in table:
        mask |= row.mask
    fit, programming = _axes(mask)
    return Decision(
        mask=mask,
        fit=fit,
        programming=programming,
        reasons=_reasons(table),
        rows=table,
    )


@cache
def _axes(mask: int) -> tuple[Fit, Programming]:
    fit = _fit(mask)
    return fit, _programming(mask, fit)


def _fit(mask: int) -> Fit:
    if mask and not mask & ~NO_MASK:
        return Fit.NO
    if mask and not mask & ~YES_MASK:
        return Fit.YES
    return Fit.UNKNOWN


def _programming(mask: int, fit: Fit) -> Programming:
    match fit, mask:
        case Fit.NO, _:
            return Programming.NOT_APPLICABLE
        case Fit.YES, bits if bits == FITS_MASK:
            return Programming.NONE
        case Fit.YES, bits if bits == TOOL_MASK:
            return Programming.NEEDED
        case _:
            return Programming.UNKNOWN


def _reasons(table: Sequence[Row]) -> tuple[Reason, ...]:
    """All findings of all hubs, one reason for each code and place, the deciding ones first."""
    told: dict[tuple[str, Place], list[Told]] = {}
    sure_in: dict[tuple[str, Place], int] = {}
    for row in table:
        found = _row_findings(row)
        for entry in found:
            told.setdefault((entry.finding.code, entry.finding.place), []).append(entry)
        for key in {(entry.finding.code, entry.finding.place) for entry in found if entry.certain}:
            sure_in[key] = sure_in.get(key, 0) + 1
    reasons = [_weighed(entries, sure_in.get(key) == len(table)) for key, entries in told.items()]
    if len(reasons) > 1:
        reasons.sort(key=_weight)
    return tuple(reasons)


def _weighed(entries: Sequence[Told], certain: bool) -> Reason:
    if len(entries) > 1:
        return _several(entries, certain)
    (entry,) = entries
    return _single(entry.finding, entry.deciding, certain)


def _weight(reason: Reason) -> tuple[bool, int, Place, str]:
    """The order in which reasons are told: deciding first, then by rule, role and code."""
    return not reason.deciding, reason.rule, reason.place, reason.code


@lru_cache(maxsize=8_192)
def _single(found: Finding, deciding: bool, certain: bool) -> Reason:
    facts = merged((found.facts,))
    return Reason(found.code, found.rule, found.place, found.fact, facts, deciding, certain)


def _several(entries: Sequence[Told], certain: bool) -> Reason:
    first = entries[0].finding
    facts = merged(entry.finding.facts for entry in entries)
    deciding = any(entry.deciding for entry in entries)
    return Reason(first.code, first.rule, first.place, first.fact, facts, deciding, certain)


def merged(facts: Iterable[Iterable[tuple[str, str]]]) -> dict[str, tuple[str, ...]]:
    """Facts of several findings of one code: each name with all of its values, in order."""
    values: dict[str, set[str]] = {}
    for several in facts:
        for name, value in several:
            values.setdefault(name, set()).add(value)
    return {name: tuple(sorted(found)) for name, found in values.items()}


def _row_findings(row: Row) -> list[Told]:
    told = [Told(found, found.rule <= _highest(row, found.place), True) for found in row.set_findings]
    if not row.hub.covered:
        told.append(Told(not_covered(row), bool(row.mask & SCOPE_MASK), True))
    fits = bool(row.mask & YES_MASK)
    elsewhere = False
    for place, there in row.telling.items():
        told += _place_findings(*_beside(row, place, there.cells), fits)
        elsewhere = elsewhere or there.elsewhere
    for joint in row.joints:
        told += _joint_findings(row, joint, fits)
    if elsewhere and row.hub.covered:
        told += _set_findings(row)
    return told


def _highest(row: Row, place: Place) -> int:
    """The highest rank that the rest of the set, without this place, can have: a rule of this place
    decides where it is not above that. The place is in no joint."""
    highest = row.base
    joined = {other for joint in row.joints for other in joint.places}
    for other, there in row.telling.items():
        if other != place and other not in joined:
            highest = min(highest, there.mask)
    for joint in row.joints:
        highest = min(highest, row.joint_mask(joint))
    return _top(highest)


def not_covered(row: Row) -> Finding:
    """Rule 2: the unit's model is known, and this catalogue gives no answers about it."""
    return finding("model_not_covered", Rule.COVERED, UNIT, "", ("unit_model", row.hub.model.id))


def _beside(row: Row, place: Place, cells: Sequence[Cell]) -> tuple[Sequence[Cell], Sequence[int]]:
    """The boards that may be in a place, and for each the highest rank that the rest of the set can have."""
    joint = next((each for each in row.joints if place in each.places), None)
    if joint is None:
        return cells, [_highest(row, place)] * len(cells)
    found = {part: _highest_beside_part(row, joint, place, part) for part in row.places[place].parts}
    # A part that no way has cannot be there: what is on the boards rules it out.
    there = [cell for cell in cells if found[cell.board.part] >= 0]
    return there, [found[cell.board.part] for cell in there]


def _place_findings(cells: Sequence[Cell], others: Sequence[int], fits: bool) -> list[Told]:
    """Findings of one place. Needs are told where the set fits in some world."""
    if len(cells) == 1:
        ((_, (rank, _, _), told),) = cells
        decide = rank <= others[0]
        if rank > OUT_OF_SCOPE:
            return [Told(one, decide, True) for one in told] if fits else []
        return [Told(one, decide and one.rule == rank, True) for one in told]
    decides: dict[Finding, bool] = {}
    counts: dict[str, int] = {}
    for cell, highest in zip(cells, others, strict=True):
        rank = cell.verdict.rank
        if rank < OUT_OF_SCOPE or fits:
            for one in cell.told:
                first = (one.rule == rank or rank > OUT_OF_SCOPE) and rank <= highest
                decides[one] = decides.get(one, False) or first
                counts[one.code] = counts.get(one.code, 0) + 1
    return [Told(one, deciding, counts[one.code] == len(cells)) for one, deciding in decides.items()]


def _joint_findings(row: Row, joint: Joint, fits: bool) -> Iterator[Told]:
    """Rule 10 told for boards whose software has to go together, over the ways in which they may be."""
    counts = Counter((one.code, one.place) for way in joint.ways for one in way.told)
    decides: dict[Finding, bool] = {}
    for way in joint.ways:
        if way.rank < OUT_OF_SCOPE or fits:
            for one in way.told:
                first = way.rank <= _highest_beside(row, joint, way)
                decides[one] = decides.get(one, False) or first
    for one, deciding in decides.items():
        yield Told(one, deciding, counts[one.code, one.place] == len(joint.ways))


def _highest_beside(row: Row, joint: Joint, way: Way) -> int:
    """The highest rank that all but a joint's software can have, while its boards are of a way's parts."""
    boards = zip(joint.places, way.parts, strict=True)
    masks = [row.places[place].mask_of(part) for place, part in boards]
    return _top(min(_apart(row, joint), *masks))


def _highest_beside_part(row: Row, joint: Joint, place: Place, part: PartNumber) -> int:
    """The highest rank that the rest of the set can have while the board in one of a joint's places is of a
    part; below 0 where it cannot be."""
    at = joint.places.index(place)
    found = 0
    for kinds, ranks in joint.by_parts().items():
        if part in kinds[at]:
            boards = zip(joint.places, kinds, strict=True)
            found = max(
                found, min([ranks, *(row.places[p].mask_of(kind) for p, kind in boards if p != place)])
            )
    return _top(min(found, _apart(row, joint)))


def _apart(row: Row, joint: Joint) -> int:
    """Of all that a joint has no part in, the set of ranks whose highest is the lowest."""
    masks = [there.mask for place, there in row.telling.items() if place not in joint.places]
    masks += [row.joint_mask(other) for other in row.joints if other is not joint]
    return min(row.base, *masks, FITS_MASK)


def _top(mask: int) -> int:
    """The highest rank of a set; below 0 where it is empty."""
    return mask.bit_length() - 1


def _set_findings(row: Row) -> Iterator[Told]:
    """Rule 6 told for the boards that bind, over the bindings they can have together. The board that is
    bound elsewhere decides by its own finding; these tell what follows, and never decide."""
    binding = [there for there in row.places.values() if there.binds]
    choices = [{cell.board.binding: cell for cell in there.cells}.values() for there in binding]
    combos = list(product(*choices))
    found = [one for combo in combos for one in among_themselves(row.hub, [cell.board for cell in combo])]
    counts = Counter((one.code, one.place) for one in found)
    for one in dict.fromkeys(found):
        yield Told(one, False, counts[one.code, one.place] == len(combos))
