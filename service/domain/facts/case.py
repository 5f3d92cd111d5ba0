"""A question with all that is known: the input of the worlds. Everything here may still be unknown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from service.domain.facts.identity import UnitFacts
from service.domain.facts.known import NOTHING_KNOWN, Known
from service.domain.facts.records import BoardRecord
from service.domain.place import Place
from service.domain.terms import Means, RoleId


class Pairing(StrEnum):
    """How a follower came beside its naming board, which says whether they are introduced."""

    STAYS = "stays"
    NEW = "new"
    PUT_BACK = "put_back"
    MOVED_TOGETHER = "moved_together"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardCase:
    """One board of the resulting (or the present) set, with what is known of it."""

    place: Place
    proposed: bool
    serial: str | None = None
    record: BoardRecord | None = None
    part: Known = NOTHING_KNOWN
    binding: Known = NOTHING_KNOWN
    holds: Known = NOTHING_KNOWN
    """Values are members of `Holds`."""
    condition: Known = NOTHING_KNOWN
    introduced: Known = NOTHING_KNOWN
    """Values are `yes` and `no`."""
    pairing: Pairing = Pairing.STAYS
    assumed: bool = False
    """Where nothing is known of a fact, it is taken as the factory left it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One question about one unit, ready to be judged."""

    unit: UnitFacts
    proposed: tuple[BoardCase, ...]
    """One for each proposed board, or one for each role it may have where that is open: see `open_roles`."""
    present: Mapping[Place, BoardCase]
    """Boards stated or recorded to sit in the unit. Other places are as the factory left them, or unknown."""
    empty: frozenset[Place]
    """Places stated or recorded to be empty now."""
    assume: bool
    accessories: Mapping[str, int]
    """Accessories stated or recorded as fitted; one that is not named is not fitted, as far as known."""
    means: Means
    open_roles: tuple[RoleId, ...] = ()
    """Where one proposed board's role is open: the roles it may have. Its cases in `proposed` are told
    apart by their role, and exactly one of them is there in a world."""
