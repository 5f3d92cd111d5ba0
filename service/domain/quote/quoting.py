"""Lines to charge and what they come to. Words for them are in `service.words`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from service.domain.quote.money import Exact, NotMoney, exact, rounded


class LineKind(StrEnum):
    """What a line charges for. May grow."""

    PART = "part"
    COMPANION = "companion"
    """What goes with a swap: a seal, a cable."""
    ACCESSORY = "accessory"
    SERIAL = "serial"
    """The serial that the maker issues for a machine that becomes another model."""
    PROGRAMMING = "programming"
    LABOUR = "labour"


class Prices(StrEnum):
    """Whether prices are told with the tax in them. Closed."""

    EXCLUDED = "excluded"
    INCLUDED = "included"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tax:
    """The tax on sales in one market."""

    rate: Decimal
    """In percent."""
    prices: Prices


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """Something to charge, before it is reckoned."""

    kind: LineKind
    number: str = ""
    """Part number; empty for work."""
    quantity: int
    unit_price: Decimal
    per: int = 1
    """The quantity that the unit price is for: 60 where minutes are charged by the hour."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a quote or a receipt."""

    charge: Charge
    amount: Decimal
    """Quantity times unit price, rounded once."""
    tax: Decimal
    """The tax on this amount, or the tax in it, rounded once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """What is asked for and until when.

    INVARIANT: `total` is the sum of the lines' amounts and `tax_amount` that of their taxes; nothing is
    rounded after the lines are.
    """

    currency: str
    lines: tuple[Line, ...]
    total: Decimal
    tax: Tax
    tax_amount: Decimal
    to_pay: Decimal
    """The total with the tax, whichever way prices are told."""
    lead_days: int | None
    """Days until all of it can be had; None where that is not known."""
    catalogue_revision: str
    valid_until: date


def quote(
    charges: Sequence[Charge],
    *,
    currency: str,
    tax: Tax,
    lead_days: int | None,
    catalogue_revision: str,
    valid_until: date,
) -> Quote:
    """Reckon the charges. Raises NotMoney for an amount, a quantity or a currency that is none."""
    lines = tuple(_line(charge, tax, currency) for charge in charges)
    nothing = rounded(0, currency)
    total = sum((line.amount for line in lines), nothing)
    tax_amount = sum((line.tax for line in lines), nothing)
    return Quote(
        currency=currency,
        lines=lines,
        total=total,
        tax=tax,
        tax_amount=tax_amount,
        to_pay=total if tax.prices is Prices.INCLUDED else total + tax_amount,
        lead_days=lead_days,
        catalogue_revision=catalogue_revision,
        valid_until=valid_until,
    )


def _line(charge: Charge, tax: Tax, currency: str) -> Line:
    if charge.quantity < 1 or charge.per < 1 or exact(charge.unit_price) < 0 or exact(tax.rate) < 0:
        raise NotMoney("a line charges some of a thing, for a price and a tax that are not negative")
    amount = rounded(exact(charge.unit_price) * charge.quantity / charge.per, currency)
    return Line(charge=charge, amount=amount, tax=rounded(_tax_of(amount, tax), currency))


def _tax_of(amount: Decimal, tax: Tax) -> Exact:
    """The tax on an amount, or in one that includes it; not rounded yet."""
    rate = exact(tax.rate) / 100
    share: Fraction = rate if tax.prices is Prices.EXCLUDED else rate / (1 + rate)
    return exact(amount) * share
