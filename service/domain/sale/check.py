"""The decision at the till: which grounds and conditions there are, and what follows from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from service.domain.cautions import Caution
from service.domain.facts.sources import Sources
from service.domain.quote.quoting import Quote
from service.domain.sale.asking import ASKING
from service.domain.sale.charges import quoted
from service.domain.sale.conditions import CONDITIONS
from service.domain.sale.ground import Ground
from service.domain.sale.question import SaleQuestion
from service.domain.sale.refusing import REFUSING
from service.domain.sale.situation import Circumstances, Situation, situation


class Decision(StrEnum):
    """What a careful dealer does. Closed."""

    SELL = "sell"
    SELL_WITH_CONDITIONS = "sell_with_conditions"
    ASK_FIRST = "ask_first"
    DO_NOT_SELL = "do_not_sell"


GroundFinder = Callable[[Situation], Ground | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleAnswer:
    """The decision with all that it rests on."""

    found: Situation
    decision: Decision
    grounds: tuple[Ground, ...]
    """Why it is not simply sold: those of the first group that has any. Empty for the two kinds of sale."""
    conditions: tuple[Ground, ...]
    """What is said and agreed to with the sale."""
    quote: Quote | None
    """What it costs; None where it is not sold, or nothing is priced."""

    @property
    def sells(self) -> bool:
        """Whether the till may go on."""
        return self.decision in (Decision.SELL, Decision.SELL_WITH_CONDITIONS)

    @property
    def held(self) -> bool:
        """Whether something is held, so that the customer is told no more than that it can't be sold now."""
        return any(each.code in HELD for each in self.grounds)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """As in the answer of fit."""
        return self.found.told.cautions


HELD = frozenset({"board_held", "unit_held", "donor_held"})


def check_sale(sources: Sources, question: SaleQuestion, circumstances: Circumstances) -> SaleAnswer:
    """May this board be sold for that machine? Raises ImpossibleQuestion for what cannot be put."""
    return decided(situation(sources, question, circumstances))


def decided(found: Situation) -> SaleAnswer:
    """The decision: the first of the groups of grounds that has any."""
    for decision, finders in ((Decision.DO_NOT_SELL, REFUSING), (Decision.ASK_FIRST, ASKING)):
        grounds = _found(found, finders)
        if grounds:
            quote = quoted(found) if decision is Decision.ASK_FIRST else None
            return SaleAnswer(found=found, decision=decision, grounds=grounds, conditions=(), quote=quote)
    conditions = _found(found, CONDITIONS)
    return SaleAnswer(
        found=found,
        decision=Decision.SELL_WITH_CONDITIONS if conditions else Decision.SELL,
        grounds=(),
        conditions=conditions,
        quote=quoted(found),
    )


def _found(found: Situation, finders: Sequence[GroundFinder]) -> tuple[Ground, ...]:
    return tuple(each for finder in finders if (each := finder(found)) is not None)
