"""A question about software: the boards of one unit, what may be on them, and what is wanted."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from service.domain.place import Place
from service.domain.software.ranges import Range
from service.domain.software.releases import Software
from service.domain.software.versions import Version
from service.domain.terms import ModelId, PartNumber, RoleId

Carried = Version | None
"""What is on a board. None: nothing that answers, as after a load that broke off."""


class Aim(StrEnum):
    """Which of the sets that go together is meant. Closed."""

    NEWEST = "newest"
    """The newest that can be reached: the first role's release as new as can be, then the second's …"""
    LEAST_CHANGE = "least_change"
    """The one that takes the fewest loads."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board that carries software."""

    place: Place
    part: PartNumber
    may_carry: frozenset[Carried]
    """One value where it is known, all that it may be where it is not. A version that the catalogue does not
    list is known to go with nothing: no set is complete with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is to be brought to go together."""

    software: Software
    model: ModelId
    boards: tuple[Board, ...]
    """The boards that are there. A role without a board asks for nothing."""
    wanted: Mapping[RoleId, Range] = field(default_factory=dict)
    """The versions that will do at the end, by role; a set asked for by name is one version for each. A board
    must be there for each of these roles: what is wanted of a board that is missing is another question."""
    aim: Aim = Aim.NEWEST


NO_ANSWER = "nothing"
"""How a fact tells a board that answers nothing."""


def told_as_fact(carried: Carried) -> str:
    """What is on a board, as a fact tells it."""
    return NO_ANSWER if carried is None else str(carried)


def all_that_runs(software: Software, role: RoleId, part: PartNumber) -> frozenset[Carried]:
    """What may be on a board of which nothing is known: every release that runs on its part."""
    listed = software.releases.get(role, ())
    return frozenset(each.version for each in listed if each.parts is None or part in each.parts)


def ordered(software: Software, boards: Collection[Board]) -> tuple[Board, ...]:
    """The boards that carry software in the catalogue's order of roles, places in the order given.

    Raises ValueError for two boards in one place, and for a board of which not even a possibility is told.
    """
    if len({board.place for board in boards}) < len(boards):
        raise ValueError("two boards in one place")
    carrying = [board for board in boards if board.place.role in software.releases]
    if blank := [str(board.place) for board in carrying if not board.may_carry]:
        raise ValueError(f"nothing told of what may be on {blank[0]}: name its versions, or None")
    order = {role: at for at, role in enumerate(software.roles)}
    return tuple(sorted(carrying, key=lambda board: order[board.place.role]))
