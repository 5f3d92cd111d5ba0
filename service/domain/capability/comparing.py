"""Capabilities before and after: what the unit can do now, what it will do, and what stands in the way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from service.domain.capability.ability import (
    Amount,
    Fittings,
    Parts,
    Releases,
    amounts,
    fittings,
    reports_error,
)
from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Capability
from service.domain.catalogue.naming import release_position
from service.domain.facts.case import CASES_KEPT, BoardFacts, CaseFacts
from service.domain.fit.decision import merged
from service.domain.fit.worlds import FEW, Cell, Row, beside_of, cells_of, untouched
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
from service.domain.terms import BindingPolicy, CapabilityId, PartNumber, RoleId


class Hindrance(NamedTuple):
    """One kind of blocker over all worlds."""

    code: str
    facts: Mapping[str, tuple[str, ...]]
    """Each fact with every value that it has in some world."""
    certain: bool
    """Whether it stands in all worlds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ability:
    """One capability over all worlds."""

    is_count: bool
    least: int
    most: int
    blockers: tuple[Hindrance, ...]
    reports_error: bool = False
    """More is connected than allowed, and the unit reports an error for it."""

    @property
    def value(self) -> str:
        """`yes`, `no` or `unknown` for a switch."""
        if self.least:
            return "yes"
        return "unknown" if self.most else "no"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """What the boards change."""

    before: Mapping[CapabilityId, Ability]
    after: Mapping[CapabilityId, Ability]

    def gained(self) -> list[CapabilityId]:
        """Capabilities that the unit surely has more of afterwards."""
        return [c for c, after in self.after.items() if after.least > self.before[c].most]

    def may_gain(self) -> list[CapabilityId]:
        """Capabilities that it may have more of afterwards, and not surely."""
        sure = set(self.gained())
        return [c for c, after in self.after.items() if c not in sure and after.most > self.before[c].most]

    def lost(self) -> list[tuple[CapabilityId, bool]]:
        """Capabilities that it surely (True) or perhaps (False) has less of afterwards."""
        return [
            (c, after.most < self.before[c].least)
            for c, after in self.after.items()
            if after.least < self.before[c].least
        ]


def compare(case: CaseFacts, rows: Iterable[Row]) -> Comparison:
    """Capabilities of the unit as it is and as it will be, over all worlds with a covered model."""
    covered = [row for row in rows if row.hub.covered]
    before = _different(fittings for row in covered for fittings in _as_it_stands(case, row.hub))
    after = _different(fittings for row in covered for fittings in _after(case, row))
    return Comparison(before=_abilities(before, case.accessories), after=_abilities(after, case.accessories))


def _different(ways: Iterable[Fittings]) -> tuple[Fittings, ...]:
    """The ways in which a unit may be fitted, each once."""
    return tuple(dict.fromkeys(ways))


@lru_cache(maxsize=CASES_KEPT)
def _abilities(
    ways: tuple[Fittings, ...], accessories: tuple[tuple[str, int], ...]
) -> Mapping[CapabilityId, Ability]:
    """Every capability over these ways. Kept: machines of one model are mostly fitted alike."""
    if not ways:
        return {}
    capabilities = ways[0].hub.compiled.catalogue.capabilities.values()
    return {c.id: _ability(c, ways, dict(accessories)) for c in capabilities}


def _ability(capability: Capability, ways: Sequence[Fittings], accessories: Mapping[str, int]) -> Ability:
    found: list[Amount] = [a for way in ways for a in amounts(way, capability, accessories)]
    return Ability(
        is_count=capability.is_count,
        least=min(a.amount for a in found),
        most=max(a.amount for a in found),
        blockers=tuple(_blockers(found)),
        reports_error=any(reports_error(way.hub, capability, accessories) for way in ways),
    )


def _blockers(found: list[Amount]) -> Iterator[Hindrance]:
    counts = Counter(
        code for amount in found for code in dict.fromkeys(blocker.code for blocker in amount.blockers)
    )
    for code, count in counts.items():
        facts = merged(b.facts for amount in found for b in amount.blockers if b.code == code)
        yield Hindrance(code, facts, certain=count == len(found))


def _as_it_stands(case: CaseFacts, hub: Hub) -> Iterator[Fittings]:
    """The unit before anything is changed; it may run, and it may refuse to."""
    there: dict[Place, BoardFacts] = {}
    for place in hub.places:
        stays = case.present_at(place) or untouched(hub, case.assume, place)
        board = None if place in case.empty else stays
        if board is not None:
            there[place] = board
    beside = beside_of(hub, case)
    cells = {place: cells_of(hub, board, beside).cells for place, board in there.items()}
    parts = {place: _parts(found, fitting=False) for place, found in cells.items()}
    states = [
        {cell.board.binding == hub.model.id for cell in found}
        for found in cells.values()
        if any(hub.parts[cell.board.part].binding is not BindingPolicy.FREE for cell in found)
    ]
    releases = _releases(hub, there.values())
    if any(place in case.empty and hub.roles[place.role].required for place in hub.places):
        yield fittings(hub, "board_missing", _by_role(parts), releases)
        return
    if all(True in state for state in states):
        yield fittings(hub, "", _by_role(parts), releases)
    if any(False in state for state in states):
        yield fittings(hub, "boards_disagree", _by_role(parts), releases)


def _after(case: CaseFacts, row: Row) -> Iterator[Fittings]:
    """The unit with the resulting set: as it runs where it fits, and nothing available where it does not."""
    last = {board.place: board for board in (*case.present, *case.proposed)}
    releases = _releases(row.hub, (last[place] for place in row.places if place in last))
    if row.joints:
        releases = tuple({**dict(releases), **_loaded(row)}.items())
    mask = row.mask
    if mask >> OUT_OF_SCOPE + 1:
        parts = {place: _parts(there.cells, fitting=True) for place, there in row.places.items()}
        yield fittings(row.hub, "", _by_role(parts), releases)
    if mask & (1 << OUT_OF_SCOPE) - 1:
        parts = {place: _parts(there.cells, fitting=False) for place, there in row.places.items()}
        yield fittings(row.hub, _refusal(row), _by_role(parts), releases)


def _loaded(row: Row) -> Mapping[RoleId, frozenset[int]]:
    """What boards whose software has to go together carry once everything is loaded."""
    found: dict[RoleId, frozenset[int]] = {}
    for joint in row.joints:
        fitting = [way for way in joint.ways if way.rank > OUT_OF_SCOPE and way.releases]
        for at, place in enumerate(joint.places):
            ends = {name for way in fitting for name in way.ends(place, at)}
            positions = _positions(row.hub, place.role, ends)
            if positions:
                found[place.role] = found.get(place.role, frozenset()) | positions
    return found


def _parts(cells: Iterable[Cell], *, fitting: bool) -> frozenset[PartNumber]:
    found = frozenset(cell.board.part for cell in cells if not fitting or cell.verdict.rank > OUT_OF_SCOPE)
    return found if len(found) <= FEW else _one_object(found)


@lru_cache(maxsize=64)
def _one_object(parts: frozenset[PartNumber]) -> frozenset[PartNumber]:
    """Where thousands of parts may be in a place they are mostly the same ones, whatever the question."""
    return parts


def _refusal(row: Row) -> str:
    disagree = any(there.elsewhere for there in row.places.values())
    return "boards_disagree" if disagree else "does_not_fit"


def _by_role(parts: Mapping[Place, frozenset[PartNumber]]) -> Parts:
    grouped: dict[RoleId, tuple[frozenset[PartNumber], ...]] = {}
    for place, possible in parts.items():
        grouped[place.role] = (*grouped.get(place.role, ()), possible)
    return tuple(grouped.items())


def _releases(hub: Hub, there: Iterable[BoardFacts]) -> Releases:
    known = (
        (board.place.role, _positions(hub, board.place.role, board.release.values))
        for board in there
        if board.release.values
    )
    return tuple((role, positions) for role, positions in known if positions)


def _positions(hub: Hub, role: RoleId, names: Iterable[str]) -> frozenset[int]:
    """Where releases stand in their role's list; empty where one of them does not."""
    found = [release_position(hub.compiled.catalogue, role, name) for name in names]
    return frozenset[int]() if None in found else frozenset(each for each in found if each is not None)
