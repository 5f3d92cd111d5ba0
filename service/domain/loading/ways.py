"""The ways in which the boards of a unit that carry software may stand, as far as a plan depends on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

from service.domain.facts.case import Case
from service.domain.fit.worlds import Row
from service.domain.place import Place
from service.domain.software.bound import BoundExceeded
from service.domain.software.releases import Software
from service.domain.software.task import Board, Carried, all_that_runs
from service.domain.software.versions import is_version, parse_version
from service.domain.terms import ModelId, PartNumber

MOST_WAYS = 1_000
"""So many ways are looked at; past it someone says first which machine or which boards it is."""

Found = Mapping[Place, frozenset[Carried]]
"""What may be on boards of which somebody says it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to stand: a model, and the boards with what may be on them."""

    model: ModelId
    boards: tuple[Board, ...]

    def facts(self) -> Iterator[tuple[str, str]]:
        """What tells this way from others, by the names that questions back have."""
        yield "unit.model", self.model
        yield from ((f"{board.place}.part", board.part) for board in self.boards)


def ways(software: Software, case: Case, rows: Sequence[Row], stated: Found) -> tuple[Way, ...]:
    """Every way. `rows` are the case's worlds, and `stated` goes before what is recorded. Raises
    BoundExceeded for too many."""
    found: dict[Way, None] = {}
    for row in rows:
        boards = _boards(software, case, row, stated)
        if prod(map(len, boards)) > MOST_WAYS:
            raise BoundExceeded
        found.update((Way(model=row.hub.model.id, boards=each), None) for each in product(*boards))
    if len(found) > MOST_WAYS:
        raise BoundExceeded
    return tuple(found)


def _boards(software: Software, case: Case, row: Row, stated: Found) -> list[list[Board]]:
    """For each place with software in one unit, the boards that may be there."""
    places = (place for place in row.places if place.role in software.releases)
    return [
        [
            _board(software, case, place, part, stated)
            for part in sorted({cell.board.part for cell in row.places[place].cells})
        ]
        for place in places
    ]


def _board(software: Software, case: Case, place: Place, part: PartNumber, stated: Found) -> Board:
    known = stated.get(place) or _recorded(case, place)
    return Board(place=place, part=part, may_carry=known or all_that_runs(software, place.role, part))


def _recorded(case: Case, place: Place) -> frozenset[Carried]:
    """What is recorded of the board there; nothing where it is no version, which says nothing of it."""
    board = case.present.get(place)
    name = board.record.release if board is not None and board.record is not None else None
    return frozenset((parse_version(name),)) if name is not None and is_version(name) else frozenset()
