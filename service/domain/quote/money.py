"""Amounts of money: exact decimals in one currency, rounded in one place and in one way.

Rounding is half up to the currency's minor unit. That a result exactly half-way is rounded up is the rule of
Council Regulation (EC) No 1103/97, article 5, for sums paid or accounted for in euro, and it is what a
customer expects who checks the receipt by hand.

INVARIANT: no binary fraction ever becomes an amount. They can't hold most prices (2.675 is a little less), so
they are refused where they come in.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from service.domain.quote.currencies import MINOR_UNITS

Exact = int | Decimal | Fraction
"""A number without a rounding error of its own."""


class NotMoney(ValueError):
    """A number that is no amount of the currency, or a currency without a minor unit."""


def digits(currency: str) -> int:
    """Digits of the minor unit by ISO 4217. Raises NotMoney for a code that nothing is priced in."""
    try:
        return MINOR_UNITS[currency]
    except KeyError:
        raise NotMoney(f"{currency} is no currency with a minor unit (ISO 4217)") from None


def is_amount(value: Decimal, currency: str) -> bool:
    """Whether a number can be paid in the currency: it has no more digits than the minor unit."""
    return exact(value) == rounded(value, currency)


def rounded(value: Exact, currency: str) -> Decimal:
    """The nearest amount of the currency, half up (away from zero). Raises NotMoney."""
    places = digits(currency)
    scaled = exact(value) * 10**places
    whole = (2 * abs(scaled) + 1) // 2
    return _decimal(-whole if scaled < 0 else whole, places)


def exact(value: Exact) -> Fraction:
    """The number as a fraction. Raises NotMoney for a binary fraction and for what is no number."""
    if isinstance(value, bool) or not isinstance(value, (int, Decimal, Fraction)):
        raise NotMoney(f"{type(value).__name__} is not exact: write amounts as decimals")
    if isinstance(value, Decimal) and not value.is_finite():
        raise NotMoney(f"{value} is no number")
    return Fraction(value)


def _decimal(units: int, places: int) -> Decimal:
    """So many minor units as a decimal. Built from its digits, so no context can round it."""
    return Decimal((int(units < 0), tuple(map(int, str(abs(units)))), -places))
