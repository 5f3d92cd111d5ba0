"""Amounts against published values, and the laws of rounding.

Sources: minor units are those of ISO 4217 as the PyPI package iso4217 1.16.20260101 has them, written down in
data/iso4217_minor_units.json; rounding half up is article 5 of Council Regulation (EC) No 1103/97, its worked
sums those of the Slovenian changeover to the euro; the other conversions use the fixed rates of the euro's
first members and of Croatia and were reckoned with `decimal`.
"""

from __future__ import annotations

import ast
import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.quote.currencies import MINOR_UNITS
from service.domain.quote.money import NotMoney, digits, exact, is_amount, rounded
from tests.house.tree import parsed, python_files

PUBLISHED = json.loads((Path(__file__).parent / "data/iso4217_minor_units.json").read_text(encoding="utf-8"))
CURRENCIES = sorted(MINOR_UNITS)
ANY = st.sampled_from(CURRENCIES)
AMOUNTS = st.decimals(0, 10**9, allow_nan=False, allow_infinity=False, places=6)


def test_minor_units_are_the_published_ones() -> None:
    assert dict(MINOR_UNITS) == {c: u for c, u in PUBLISHED["minor_units"].items() if u is not None}


@pytest.mark.parametrize("code", [c for c, u in PUBLISHED["minor_units"].items() if u is None] + ["eur", ""])
def test_a_code_without_a_minor_unit_is_no_currency_to_price_in(code: str) -> None:
    with pytest.raises(NotMoney, match="no currency"):
        digits(code)


@pytest.mark.parametrize(
    ("value", "currency", "amount"),
    [
        ("1234.5678", "BHD", "1234.568"),
        ("1234.5", "JPY", "1235"),
        ("2.665", "EUR", "2.67"),
        ("2.675", "EUR", "2.68"),
        ("1.005", "EUR", "1.01"),
        ("0.125", "EUR", "0.13"),
        ("0.135", "EUR", "0.14"),
        ("24.784", "EUR", "24.78"),
        ("24.785", "EUR", "24.79"),
        ("-0.125", "EUR", "-0.13"),
        ("0", "CLF", "0.0000"),
    ],
)
def test_it_is_rounded_half_up_to_the_minor_unit(value: str, currency: str, amount: str) -> None:
    assert str(rounded(Decimal(value), currency)) == amount


@pytest.mark.parametrize(
    ("sum_", "rate", "euro"),
    [
        (500, "239.640", "2.09"),
        (1_000, "239.640", "4.17"),
        (1_000_000, "1.95583", "511291.88"),
        (100, "1.95583", "51.13"),
        (100, "6.55957", "15.24"),
        (100, "13.7603", "7.27"),
        (100, "5.94573", "16.82"),
        (100, "7.53450", "13.27"),
    ],
)
def test_a_division_is_rounded_once_and_at_the_end(sum_: int, rate: str, euro: str) -> None:
    assert str(rounded(Fraction(sum_) / Fraction(rate), "EUR")) == euro


def test_an_inverse_rate_rounded_first_would_give_another_amount() -> None:
    assert rounded(Decimal(1000000) * Decimal("0.511292"), "EUR") == Decimal("511292.00")


@given(AMOUNTS, ANY)
def test_the_amount_is_the_nearest_one(value: Decimal, currency: str) -> None:
    amount, unit = rounded(value, currency), Fraction(1, 10 ** digits(currency))
    assert is_amount(amount, currency)
    assert -unit / 2 < exact(amount) - exact(value) <= unit / 2
    assert amount.as_tuple().exponent == -digits(currency)


@given(AMOUNTS, AMOUNTS, ANY)
def test_rounding_keeps_the_order(one: Decimal, other: Decimal, currency: str) -> None:
    low, high = sorted((one, other))
    assert rounded(low, currency) <= rounded(high, currency)


@given(AMOUNTS, ANY)
def test_a_rounded_amount_stays_as_it_is(value: Decimal, currency: str) -> None:
    assert rounded(rounded(value, currency), currency) == rounded(value, currency)


@pytest.mark.parametrize(
    "value", [2.675, 1.0, float("nan"), True, "1.00", None, Decimal("NaN"), Decimal("Infinity")]
)
def test_a_binary_fraction_or_what_is_no_number_gets_in_nowhere(value: object) -> None:
    for entry in (
        lambda: exact(value),  # type: ignore[arg-type] # what must not get in
        lambda: rounded(value, "EUR"),  # type: ignore[arg-type] # the same
    ):
        with pytest.raises(NotMoney):
            entry()


def test_the_engine_of_prices_speaks_of_no_float() -> None:
    nodes = [node for path in python_files("service/domain/quote") for node in ast.walk(parsed(path))]
    assert len(nodes) > 500
    assert [n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, float)] == []
    assert [n.id for n in nodes if isinstance(n, ast.Name) and n.id == "float"] == []
