"""The single formulas, in exact decimals with their units in their names.

Quotients are cut to 28 digits; how many of them are told is for the words to say.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Context, Decimal

MINUTES_AN_HOUR = Decimal(60)
SECONDS_AN_HOUR = Decimal(3600)
MINUTES_A_DAY = Decimal(1440)

Figure = Decimal | None
"""A number that may be unknown. None is never taken for nothing."""

_ARITHMETIC = Context(prec=28, rounding=ROUND_HALF_EVEN)
"""Said outright, so that no caller's own context changes a figure."""


def known(formula: Callable[..., Figure], *figures: Figure) -> Figure:
    """What a formula makes of figures; unknown where one of them is."""
    return None if any(figure is None for figure in figures) else formula(*figures)


def energy_wh(volts: Decimal, amp_hours: Decimal) -> Decimal:
    """Watt-hours of a pack: volts by ampere-hours (the definition of 49 CFR 171.8)."""
    return _product(volts, amp_hours)


def run_minutes(energy: Decimal, usable_share: Decimal, mean_draw_w: Decimal) -> Figure:
    """How long a machine mows: the usable energy by its mean draw. Unknown where it draws nothing."""
    return _quotient(_product(energy, usable_share, MINUTES_AN_HOUR), mean_draw_w)


def charge_minutes(amp_hours: Decimal, usable_share: Decimal, charge_amps: Decimal) -> Figure:
    """How long it charges what it has used, at a steady current. Unknown where nothing charges it."""
    return _quotient(_product(amp_hours, usable_share, MINUTES_AN_HOUR), charge_amps)


def area_m2_an_hour(cutting_width_m: Decimal, speed_m_a_second: Decimal) -> Decimal:
    """What the blades pass over in an hour; lawn that is passed over twice counts twice."""
    return _product(cutting_width_m, speed_m_a_second, SECONDS_AN_HOUR)


def area_m2(an_hour: Decimal, minutes: Decimal) -> Figure:
    """What the blades pass over in so many minutes."""
    return _quotient(_product(an_hour, minutes), MINUTES_AN_HOUR)


def mowing_minutes_a_day(run: Decimal, charge: Decimal, allowed_minutes: Decimal) -> Decimal:
    """How long a machine mows a day within the hours that it is allowed to.

    It sets out charged, mows and charges in turn, and may charge after hours; but never more than the whole
    day has room for. Raises ValueError where more than a day is allowed.
    """
    if allowed_minutes > MINUTES_A_DAY:
        raise ValueError(f"a day has {MINUTES_A_DAY} minutes, not {allowed_minutes}")
    if not run:
        return Decimal(0)
    cycle = _ARITHMETIC.add(run, charge)
    whole, rest = _ARITHMETIC.divmod(allowed_minutes, cycle)
    in_hours = _ARITHMETIC.add(_product(whole, run), min(rest, run))
    return min(in_hours, _ARITHMETIC.divide(_product(MINUTES_A_DAY, run), cycle))


def cycles(minutes: Decimal, run: Decimal) -> Figure:
    """How many times a pack is used up in so many minutes of mowing."""
    return _quotient(minutes, run)


def difference(before: Decimal, after: Decimal) -> Decimal:
    """What a figure gains."""
    return _ARITHMETIC.subtract(after, before)


def cost_for_each(cost: Decimal, gained: Decimal) -> Figure:
    """What each unit gained costs; unknown where nothing is gained, since no price is right for nothing."""
    return _quotient(cost, gained) if gained > 0 else None


def _product(*factors: Decimal) -> Decimal:
    whole = Decimal(1)
    for factor in factors:
        whole = _ARITHMETIC.multiply(whole, factor)
    return whole


def _quotient(one: Decimal, two: Decimal) -> Figure:
    """One number in shares of another; of nothing there are no shares."""
    return _ARITHMETIC.divide(one, two) if two else None
