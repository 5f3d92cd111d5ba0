"""One board of one world: every fact about it is known."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.place import Place
from service.domain.terms import Condition, Holds, ModelId, PartNumber


class Board(NamedTuple):
    """A board in its place in the resulting set of one world."""

    place: Place
    part: PartNumber
    binding: ModelId | None
    """The model it is bound to, None while blank (and for a free part)."""
    holds: Holds
    condition: Condition
    introduced: bool
    """For a part that follows: introduced to the naming board beside it in the resulting set."""
    proposed: bool
    """False: it sits there already and stays."""
    namer: bool
    """Whether the naming role's place of the resulting set is filled."""
    sits: bool = False
    """Proposed, and in its place already: judged as a proposed one, and nothing is taken out or fitted."""

    @property
    def comes(self) -> bool:
        """Whether it is new in its place."""
        return self.proposed and not self.sits
