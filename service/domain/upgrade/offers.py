"""What can be had for an upgrade: boards from stock, and the dealer's prices and rates in one market."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from service.domain.catalogue.model import SaleTerms
from service.domain.facts.case import Pairing
from service.domain.terms import Holds, ModelId, PartNumber, RoleId, Serial, Who

HOUR = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class StockBoard:
    """A board that lies in the shop, usable and free to be sold, every fact recorded."""

    serial: Serial
    part: PartNumber
    binding: ModelId | None
    """None: blank, or of a part that binds nothing."""
    holds: Holds = Holds.NOTHING
    release: int | None = None
    price: Decimal
    used: bool


def hands_up_to(most: Who) -> frozenset[Who]:
    """Who may work where nobody beyond `most` may: an owner, then a dealer, then the maker."""
    everybody = list(Who)
    return frozenset(everybody[: everybody.index(most) + 1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Offers:
    """Everything that a plan may buy, and what work costs."""

    terms: SaleTerms | None
    """None: the catalogue prices no work in this market, so it is counted in minutes only."""
    stock: Mapping[RoleId, Sequence[StockBoard]] = field(default_factory=dict)
    pairs: Mapping[tuple[Hashable, Hashable], Pairing] = field(default_factory=dict)
    """How a follower comes beside a naming board, of those that know each other: each is told by its serial
    if it is in stock, by its place if it sits in the machine."""
    workers: frozenset[Who] = frozenset(Who)
    """Who may work on the machine."""
    new_parts: bool = True
    """Whether parts may be ordered, beside what is in stock."""

    def acquaintances(self, of: Hashable) -> frozenset[tuple[Hashable, Hashable]]:
        """The pairs that a board is one of."""
        return frozenset(pair for pair in self.pairs if of in pair) if of is not None else frozenset()

    @property
    def session(self) -> Fraction:
        """The fee for one session with the programming tool."""
        return Fraction(self.terms.programming_fee) if self.terms else Fraction(0)

    def labour(self, minutes: int) -> Fraction:
        """What so many bench minutes cost."""
        return Fraction(self.terms.labour_per_hour) * minutes / HOUR if self.terms else Fraction(0)
