"""A question with all that is known: the input of the worlds. Everything here may still be unknown.

What can change an answer (`CaseFacts`, `BoardFacts`) is kept apart from what only goes with it, serials
and records. Equal facts are one object, made once, so that whatever is derived from them is derived once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
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


CASES_KEPT = 1_024
"""So many different questions are remembered with what follows from them: with conclusion and answer one
takes 20 KB, or 5 ms to be worked out anew, and there is no end to the questions that may be asked."""
BOARDS_KEPT = 4_096
"""So many boards that differ by what is known of them, 2 KB each with what they may be in a machine."""


@dataclass(frozen=True, slots=True, eq=False)
class BoardFacts:
    """What is known of one board of the resulting (or the present) set. Made by `board_facts` only."""

    place: Place
    proposed: bool
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
    release: Known = NOTHING_KNOWN
    """Values are the names of releases, as the catalogue writes those that it lists."""
    sits: bool = False
    """It is proposed for the very place in which it sits already: nothing is taken out or fitted."""


board_facts = lru_cache(maxsize=BOARDS_KEPT)(BoardFacts)
"""The one object of these facts. Facts that were forgotten are made anew: a little slower, never wrong."""


@dataclass(frozen=True, slots=True, eq=False)
class CaseFacts:
    """All that an answer is a function of, beside the catalogue. Made by `case_facts` only."""

    hubs: tuple[Hub, ...]
    """Every unit that it may be about."""
    model: Known
    settled: tuple[str, ...]
    """Facts of the unit itself that are known to a point (`unit.serial`, `unit.made_on`)."""
    serial_conflict: bool
    unknown_layout: bool
    proposed: tuple[BoardFacts, ...]
    """One for each proposed board, or one for each role it may have where that is open: see `open_roles`."""
    present: tuple[BoardFacts, ...]
    """Boards stated or recorded to sit in the unit. Other places are as the factory left them, or unknown."""
    empty: frozenset[Place]
    """Places stated or recorded to be empty now."""
    assume: bool
    accessories: tuple[tuple[str, int], ...]
    """Accessories stated or recorded as fitted; one that is not named is not fitted, as far as known."""
    means: Means
    every_question: bool
    open_roles: tuple[RoleId, ...]
    """Where one proposed board's role is open: the roles it may have. Its facts in `proposed` are told
    apart by their role, and exactly one of them is there in a world."""

    @property
    def loose(self) -> tuple[Place, ...]:
        """The places of the proposed boards that do not sit there yet: somebody has them in hand."""
        return tuple(board.place for board in self.proposed if not board.sits)

    def present_at(self, place: Place) -> BoardFacts | None:
        """The board stated or recorded to sit in a place."""
        return next((board for board in self.present if board.place == place), None)

    def board_at(self, place: Place) -> BoardFacts | None:
        """The board of the resulting set in a place; None for an untouched one."""
        return next((board for board in self.proposed if board.place == place), None) or self.present_at(
            place
        )


case_facts = lru_cache(maxsize=CASES_KEPT)(CaseFacts)
"""The one object of these facts."""


class BoardCase(NamedTuple):
    """One board of a case: its facts, and which board it is."""

    facts: BoardFacts
    serial: str | None = None
    record: BoardRecord | None = None

    @property
    def place(self) -> Place:
        """Where it sits in the resulting or the present set."""
        return self.facts.place

    @property
    def proposed(self) -> bool:
        return self.facts.proposed

    @property
    def part(self) -> Known:
        return self.facts.part

    @property
    def binding(self) -> Known:
        return self.facts.binding


class Case(NamedTuple):
    """One question about one unit, ready to be judged."""

    facts: CaseFacts
    unit: UnitFacts
    proposed: tuple[BoardCase, ...]
    present: Mapping[Place, BoardCase]

    @property
    def empty(self) -> frozenset[Place]:
        return self.facts.empty
