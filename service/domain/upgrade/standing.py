"""The unit as it stands, world by world: what each plan starts from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from math import prod

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.naming import release_position
from service.domain.facts.case import BoardFacts, CaseFacts
from service.domain.fit.table import ATTRIBUTES, values_of
from service.domain.fit.worlds import Cell, Row, rows
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.terms import Basis
from service.domain.upgrade.task import BoundExceeded

MAX_STANDINGS = 64
"""So many ways in which a unit may stand are planned for; past it `BoundExceeded` is raised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One world of the unit, every fact known, with nothing proposed."""

    hub: Hub
    boards: Mapping[Place, Board]
    """What sits in it. Other places of the hub are empty."""
    releases: Mapping[Place, int]
    """Positions of the releases, where they are known."""
    read: frozenset[Place]
    """Places whose board's binding was read or recorded."""
    accessories: Mapping[str, int]
    facts: Mapping[str, str]
    """What tells this world from the others, by the names that questions back have."""


def standings(facts: CaseFacts) -> tuple[Standing, ...]:
    """Every world of a case without proposed boards, those of covered models only.

    Raises BoundExceeded for too many of them, and as `worlds.rows` does.
    """
    covered = [row for row in rows(facts) if row.hub.covered]
    count = sum(prod(len(there.cells) for there in row.places.values()) for row in covered)
    if count > MAX_STANDINGS:
        raise BoundExceeded
    return tuple(
        _standing(facts, row.hub, dict(zip(row.places, cells, strict=True)))
        for row in covered
        for cells in product(*(there.cells for there in row.places.values()))
        if _may_be(row, dict(zip(row.places, cells, strict=True)))
    )


def _may_be(row: Row, cells: Mapping[Place, Cell]) -> bool:
    """Whether these boards may stand beside each other: their software goes together."""
    parts = {place: cell.board.part for place, cell in cells.items()}
    return all(
        any(
            all(parts[place] in kind for place, kind in zip(joint.places, kinds, strict=True))
            for kinds in joint.by_parts()
        )
        for joint in row.joints
    )


def _standing(facts: CaseFacts, hub: Hub, cells: Mapping[Place, Cell]) -> Standing:
    known = {board.place: board for board in facts.present}
    return Standing(
        hub=hub,
        boards={place: cell.board for place, cell in cells.items()},
        releases=dict(_releases(hub, [known[place] for place in cells if place in known])),
        read=frozenset(place for place, board in known.items() if board.binding.basis in _READ),
        accessories=dict(facts.accessories),
        facts=dict(_telling(hub, cells)),
    )


def _releases(hub: Hub, boards: Iterable[BoardFacts]) -> Iterator[tuple[Place, int]]:
    for board in boards:
        for name in board.release.values or () if board.release.certain else ():
            position = release_position(hub.compiled.catalogue, board.place.role, name)
            if position is not None:
                yield board.place, position


_READ = (Basis.READ, Basis.RECORDED)


def _telling(hub: Hub, cells: Mapping[Place, Cell]) -> Iterator[tuple[str, str]]:
    yield "unit.model", str(hub.model.id)
    yield "unit.market", str(hub.market)
    for place, cell in cells.items():
        values = values_of(hub, cell.board)
        yield from ((f"{place}.{name}", values[name]) for name in ATTRIBUTES)
