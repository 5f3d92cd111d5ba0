"""Lines and what they come to: rounded once a line, and the total is the sum of the lines, always."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.quote.currencies import MINOR_UNITS
from service.domain.quote.money import NotMoney, exact, rounded
from service.domain.quote.quoting import Charge, LineKind, Prices, Quote, Tax, quote

NINETEEN = Tax(rate=Decimal(19), prices=Prices.EXCLUDED)
CHARGES = st.lists(
    st.builds(
        Charge,
        kind=st.sampled_from(LineKind),
        quantity=st.integers(1, 10_000),
        unit_price=st.decimals(0, 10**6, places=4),
        per=st.sampled_from((1, 60)),
    ),
    max_size=8,
)
TAXES = st.builds(Tax, rate=st.decimals(0, 40, places=2), prices=st.sampled_from(Prices))


def reckoned(*charges: Charge, tax: Tax = NINETEEN, currency: str = "EUR") -> Quote:
    return quote(
        charges,
        currency=currency,
        tax=tax,
        lead_days=0,
        catalogue_revision="r-1",
        valid_until=date(2026, 1, 31),
    )


def part(price: str, quantity: int = 1) -> Charge:
    return Charge(kind=LineKind.PART, number="P-1", quantity=quantity, unit_price=Decimal(price))


def test_tax_comes_on_top_where_prices_exclude_it() -> None:
    found = reckoned(
        part("129.00"), Charge(kind=LineKind.LABOUR, quantity=70, unit_price=Decimal(72), per=60)
    )
    assert [(str(line.amount), str(line.tax)) for line in found.lines] == [
        ("129.00", "24.51"),
        ("84.00", "15.96"),
    ]
    assert (str(found.total), str(found.tax_amount), str(found.to_pay)) == ("213.00", "40.47", "253.47")


def test_tax_is_told_and_not_added_where_prices_include_it() -> None:
    found = reckoned(part("119.00"), tax=replace(NINETEEN, prices=Prices.INCLUDED))
    assert (str(found.total), str(found.tax_amount), str(found.to_pay)) == ("119.00", "19.00", "119.00")


def test_each_line_is_rounded_once_and_the_total_is_not() -> None:
    """Three thirds of a cent too much a line: the receipt adds up as it stands, line by line."""
    found = reckoned(*[Charge(kind=LineKind.LABOUR, quantity=1, unit_price=Decimal("1.00"), per=60)] * 3)
    assert [str(line.amount) for line in found.lines] == ["0.02"] * 3
    assert str(found.total) == "0.06"


@given(CHARGES, TAXES, st.sampled_from(sorted(MINOR_UNITS)))
def test_totals_are_the_sums_of_the_lines(charges: list[Charge], tax: Tax, currency: str) -> None:
    found = reckoned(*charges, tax=tax, currency=currency)
    assert found.total == sum(line.amount for line in found.lines)
    assert found.tax_amount == sum(line.tax for line in found.lines)
    assert found.to_pay - found.total == (found.tax_amount if tax.prices is Prices.EXCLUDED else 0)
    for line in found.lines:
        wanted = Fraction(line.charge.unit_price) * line.charge.quantity / line.charge.per
        assert line.amount == rounded(wanted, currency)
        if tax.prices is Prices.INCLUDED:
            net = exact(line.amount) - exact(line.tax)
            assert abs(net * exact(tax.rate) / 100 - exact(line.tax)) <= Fraction(
                2, 10 ** MINOR_UNITS[currency]
            )


A_FLOAT: Any = 1.0


@pytest.mark.parametrize(
    "charge",
    [
        part("1.00", 0),
        part("-1.00"),
        part("NaN"),
        replace(part("1.00"), unit_price=A_FLOAT),
        replace(part("1"), per=0),
    ],
)
def test_what_is_no_charge_is_refused(charge: Charge) -> None:
    with pytest.raises(NotMoney):
        reckoned(charge)


def test_nothing_to_charge_comes_to_nothing() -> None:
    found = reckoned(currency="JPY")
    assert (str(found.total), str(found.to_pay)) == ("0", "0")
