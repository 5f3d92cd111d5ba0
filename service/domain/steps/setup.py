"""A unit as it stands, every fact known: what a step starts from and ends in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from service.domain.place import Place
from service.domain.software.versions import Version
from service.domain.terms import Holds, ModelId, PartNumber, StepKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """One board in a setup."""

    part: PartNumber
    binding: ModelId | None = None
    holds: Holds = Holds.NOTHING
    key: str = ""
    """Tells this board from others of the same part: a serial, or a name for want of one."""
    partner: str | None = None
    """For a follower: the key of the naming board that it was last introduced to. The two stay a pair
    while they are apart, and are introduced whenever they stand beside each other."""
    release: Version | None = None
    """None where nobody knows, and where releases are names alone."""


Pair = frozenset[Place]
"""Two places."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A unit of one model with its boards and accessories."""

    model: ModelId
    boards: Mapping[Place, Fitted]
    accessories: Mapping[str, int] = field(default_factory=dict)
    let_off: frozenset[Pair] | None = None
    """While loads go on: the pairs of boards that may be at odds until the last. None: none has begun."""

    def put(self, place: Place, board: Fitted) -> Setup:
        """The setup with this board in that place."""
        return replace(self, boards={**self.boards, place: board})

    def without(self, place: Place) -> Setup:
        """The setup with that place empty."""
        return replace(self, boards={p: board for p, board in self.boards.items() if p != place})


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One thing to be done to a setup: the step's kind, where, and what it brings."""

    kind: StepKind
    place: Place | None = None
    board: Fitted | None = None
    """For `mount`: the board that goes in."""
    accessory: str = ""
    """For `fit_accessory`."""
    release: int | None = None
    """For `load`."""
    subject: str = ""
    """For `activate`: what is set up."""
