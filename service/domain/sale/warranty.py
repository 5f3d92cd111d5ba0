"""Whether the machine may still be under the maker's warranty: then the maker pays, and not the customer."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from service.domain.catalogue.model import SaleTerms
from service.domain.facts.identity import UnitFacts
from service.domain.sale.question import SaleQuestion


class WarrantyState(StrEnum):
    """What is known of a warranty."""

    NONE = "none"
    """The market has none, or no machine is named."""
    OVER = "over"
    OPEN = "open"
    """It may be open still."""
    UNKNOWN = "unknown"
    """Nobody knows when the machine was made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Warranty:
    """The state, and the first day on which it is surely over."""

    state: WarrantyState
    over_from: date | None = None


NO_WARRANTY = Warranty(state=WarrantyState.NONE)


def warranty_of(question: SaleQuestion, unit: UnitFacts, terms: SaleTerms | None, today: date) -> Warranty:
    """Reckoned from the last day on which the machine may have been made."""
    if terms is None or terms.warranty_months is None or not question.unit_named:
        return NO_WARRANTY
    if unit.made is None:
        return Warranty(state=WarrantyState.UNKNOWN)
    over_from = months_after(max(last for _, last in unit.made), terms.warranty_months)
    state = WarrantyState.OPEN if today < over_from else WarrantyState.OVER
    return Warranty(state=state, over_from=over_from)


def months_after(day: date, months: int) -> date:
    """The same day of a later month, or that month's last where it is shorter."""
    years, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(years, month + 1, min(day.day, monthrange(years, month + 1)[1]))
