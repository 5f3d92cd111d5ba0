"""What is asked at the till."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from service.domain.facts.question import StatedBoard, StatedUnit
from service.domain.terms import MarketId

NO_UNIT = StatedUnit()
"""No machine is named."""


class Asked(StrEnum):
    """What the seller has cleared up already, so that it is a condition and no question any more. Closed."""

    WARRANTY = "warranty"
    CAMPAIGN = "campaign"


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleQuestion:
    """A board, and the machine that it is for as far as that is known."""

    board: StatedBoard
    """It has a serial."""
    unit: StatedUnit = NO_UNIT
    market: MarketId | None = None
    """Where it is sold; None: where the machine is used, or the only market there are terms for."""
    brought: bool = False
    """The customer brings the board and wants it programmed; nothing of it is ours to sell."""
    asked: frozenset[Asked] = frozenset()
    as_of: datetime | None = None

    @property
    def unit_named(self) -> bool:
        """Whether it is about one very machine."""
        return bool(self.unit.serial or self.unit.read_serial)

    @property
    def model_named(self) -> bool:
        """Whether anything says which model the machine is."""
        unit = self.unit
        return self.unit_named or bool(unit.model or unit.papers_model or unit.read_model)
