"""Numbers, money and days as each language writes them.

Oracle: Unicode CLDR 49, as Babel 2.19 read it: decimal and group marks, the standard currency pattern with an
alphabetic code (and the space that CLDR puts between letters and digits), the percent pattern, and the digits
of the short (sv), medium (de) and short (fr) day with the year in full. A day in English is not CLDR's: what
is read in Europe and in America alike is ISO 8601, so it stays.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from service.words.amount_texts import TAX
from service.words.amounts import day, money, number
from service.words.language import LANGUAGES, language

OF_CLDR = {
    "en": ("1,234,567.89", "EUR\u00a05,460.91", "tax 8.1%", "2022-10-03"),
    "de": ("1.234.567,89", "5.460,91\u00a0EUR", "MwSt. 8,1\u00a0%", "03.10.2022"),
    "fr": ("1\u202f234\u202f567,89", "5\u202f460,91\u00a0EUR", "TVA 8,1\u00a0%", "03/10/2022"),
    "sv": ("1\u00a0234\u00a0567,89", "5\u00a0460,91\u00a0EUR", "moms 8,1\u00a0%", "2022-10-03"),
}


def test_every_language_has_its_row() -> None:
    assert set(OF_CLDR) == set(LANGUAGES)


@pytest.mark.parametrize("code", OF_CLDR)
def test_a_language_writes_amounts_as_cldr_has_them(code: str) -> None:
    said = language(code)
    written = (
        number(Decimal("1234567.89"), said),
        money(Decimal("5460.91"), "EUR", said),
        said.say(TAX, rate=number(Decimal("8.1"), said)),
        day("2022-10-03", said),
    )
    assert written == OF_CLDR[code]


@pytest.mark.parametrize(
    ("figure", "written"),
    [
        ("0", "0"),
        ("6.40", "6,40"),
        ("318.00", "318,00"),
        ("1000", "1.000"),
        ("-1445.02", "-1.445,02"),
        ("0.005", "0,005"),
        ("1E+3", "1.000"),
    ],
)
def test_a_number_keeps_the_digits_that_it_has(figure: str, written: str) -> None:
    assert number(Decimal(figure), language("de")) == written


def test_a_whole_number_has_no_digits_after_the_mark() -> None:
    assert number(1480, language("de")) == "1.480"


@pytest.mark.parametrize("text", ["TM224000188", "AA100", "2022", "2022-10-03T08:00", "", "2022-45-03"])
def test_what_is_no_day_stays(text: str) -> None:
    assert day(text, language("de")) == text
