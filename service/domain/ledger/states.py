"""The states that the fold goes through: a record, and what must be remembered to carry on.

INVARIANT: the state of a board or unit is a function of the events that speak of it, in order. What
depends on another's state (is the holder in service, does a pair still stand) is added where records
are put together (`records`), so a correction refolds the subjects of one event and nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from service.domain.facts.records import BoardRecord, UnitRecord
from service.domain.place import Place
from service.domain.terms import Serial


class BoardState(NamedTuple):
    """One board. `record` has its holder and donor not yet looked up."""

    record: BoardRecord
    scrapped: int = 0
    """The event by which it was scrapped; or 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """The pair last introduced at a follower's place. None stands for the board the factory fitted."""

    naming: Serial | None = None
    """The empty string is no board at all: what sits there was read out as not introduced."""
    follower: Serial | None = None
    seq: int = 0
    certain: bool = True
    """False: the introduction was started and its end is not recorded, or it broke off."""


FACTORY_LINK = Link()


@dataclass(frozen=True, slots=True, kw_only=True)
class Seating:
    """Who sits where in one unit, as far as events spoke of it."""

    occupants: Mapping[Place, Serial] = field(default_factory=dict)
    """Last board known in each place."""
    factory: Mapping[Place, Serial] = field(default_factory=dict)
    """The board the factory fitted, where it became known."""
    swapped: frozenset[Place] = frozenset()
    """Places where a board was fitted, removed or turned out to be another one."""
    naming: Place | None = None
    """The place of the board that names, once known."""
    followers: frozenset[Place] = frozenset()
    """Places known to hold boards that follow."""
    links: Mapping[Place, Link] = field(default_factory=dict)
    """Per follower's place; a place without one has the factory's."""


NOBODY_SEATED = Seating()


class UnitState(NamedTuple):
    """One unit. `record` has no boards and no pairs yet."""

    record: UnitRecord
    seating: Seating = NOBODY_SEATED
    ended: int = 0
    """The event by which it was scrapped, dismantled or converted, and so is never in service again; or 0."""


def new_board(serial: Serial) -> BoardState:
    """A board that no event spoke of."""
    return BoardState(record=BoardRecord(serial=serial, version=0))


def new_unit(serial: Serial) -> UnitState:
    """A unit that no event spoke of."""
    return UnitState(record=UnitRecord(serial=serial, version=0))
