"""The same answers as independent libraries give: python-stdnum, vininfo, biip."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import biip
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum import damm, ean, grid, imei, isbn, isni, iso6346, issn, lei, luhn, verhoeff
from stdnum.iso7064 import mod_11_2, mod_11_10, mod_37_2, mod_37_36, mod_97_10
from vininfo import Vin  # type: ignore[import-untyped]  # it carries no types
from vininfo.exceptions import ValidationError  # type: ignore[import-untyped]  # no types

from service.domain.serials import Decoded, is_valid
from service.domain.serials.check import ALPHANUMERIC, DIGITS, LETTERS, SYSTEMS
from tests.serials.published import read, scheme

VIN_CHARACTERS = SYSTEMS["vin"].body

COMPUTED: dict[str, tuple[Callable[[str], Any], str, int, int]] = {
    "luhn": (luhn.calc_check_digit, DIGITS, 1, 30),
    "gs1-mod-10": (ean.calc_check_digit, DIGITS, 1, 30),
    "verhoeff": (verhoeff.calc_check_digit, DIGITS, 1, 30),
    "damm": (damm.calc_check_digit, DIGITS, 1, 30),
    "iso-6346": (iso6346.calc_check_digit, ALPHANUMERIC, 10, 10),
    "iso-7064-mod-11-2": (mod_11_2.calc_check_digit, DIGITS, 1, 30),
    "iso-7064-mod-37-2": (mod_37_2.calc_check_digit, ALPHANUMERIC, 1, 30),
    "iso-7064-mod-97-10": (mod_97_10.calc_check_digits, ALPHANUMERIC, 1, 30),
    "iso-7064-mod-11-10": (mod_11_10.calc_check_digit, DIGITS, 1, 30),
    "iso-7064-mod-27-26": (lambda body: mod_37_36.calc_check_digit(body, alphabet=LETTERS), LETTERS, 1, 30),
    "iso-7064-mod-37-36": (mod_37_36.calc_check_digit, ALPHANUMERIC, 1, 30),
}
"""System to python-stdnum's function, the characters of a body, and its least and greatest length."""


@pytest.mark.parametrize("name", COMPUTED)
@given(data=st.data())
def test_a_computed_check_is_the_librarys(name: str, data: st.DataObject) -> None:
    compute, characters, least, most = COMPUTED[name]
    body = data.draw(st.text(characters, min_size=least, max_size=most))
    assert SYSTEMS[name].compute(body) == compute(body)


@given(st.text(DIGITS, min_size=9, max_size=9))
def test_mod_11_is_that_of_books(body: str) -> None:
    assert isbn.is_valid(body + SYSTEMS["mod-11"].compute(body))


@given(st.text(DIGITS, min_size=7, max_size=7))
def test_mod_11_is_that_of_serial_publications(body: str) -> None:
    assert SYSTEMS["mod-11"].compute(body) == issn.calc_check_digit(body)


@pytest.mark.parametrize(
    ("name", "modulus", "characters"),
    [("iso-7064-mod-661-26", 661, LETTERS), ("iso-7064-mod-1271-36", 1271, ALPHANUMERIC)],
)
@given(data=st.data())
def test_the_two_systems_that_no_library_has_meet_their_definition(
    name: str, modulus: int, characters: str, data: st.DataObject
) -> None:
    # ISO/IEC 7064 (from memory): body and check, read as a number in the radix of the alphabet, are
    # congruent to 1 modulo M. Python reads numbers in any radix up to 36, with digits before letters.
    body = data.draw(st.text(characters, min_size=1, max_size=30))
    shift = str.maketrans(characters, ALPHANUMERIC[: len(characters)])
    check = SYSTEMS[name].compute(body)
    assert int((body + check).translate(shift), len(characters)) % modulus == 1


def mostly_right(bodies: st.SearchStrategy[str], complete: Callable[[str], str]) -> st.SearchStrategy[str]:
    """Numbers with their right check, some of them with one character changed."""
    right = bodies.map(complete)
    changed = st.tuples(right, st.integers(0, 40), st.sampled_from(ALPHANUMERIC)).map(
        lambda drawn: (
            drawn[0][: drawn[1] % len(drawn[0])] + drawn[2] + drawn[0][drawn[1] % len(drawn[0]) + 1 :]
        )
    )
    return right | changed


def digits(length: int) -> st.SearchStrategy[str]:
    return st.text(DIGITS, min_size=length, max_size=length)


def appending(system: str) -> Callable[[str], str]:
    return lambda body: body + SYSTEMS[system].compute(body)


def iban_of(body: str) -> str:
    return "DE" + SYSTEMS["iso-7064-mod-97-10"].compute(body + "DE") + body


def is_iban(text: str) -> bool:
    """The library's own judgement also knows each country's accounts, which the scheme does not."""
    return text[:2].isalpha() and text[2:4].isdigit() and mod_97_10.is_valid(text[4:] + text[:4])


JUDGED: dict[str, tuple[Callable[[str], bool], st.SearchStrategy[str]]] = {
    "imei": (
        lambda text: imei.is_valid(text) and len(text) == 15,
        mostly_right(digits(14), appending("luhn")),
    ),
    "gtin_13": (ean.is_valid, mostly_right(digits(12), appending("gs1-mod-10"))),
    "isbn_10": (isbn.is_valid, mostly_right(digits(9), appending("mod-11"))),
    "isbn_13": (
        isbn.is_valid,
        mostly_right(digits(9).map(lambda rest: "978" + rest), appending("gs1-mod-10")),
    ),
    "issn": (issn.is_valid, mostly_right(digits(7), appending("mod-11"))),
    "isni": (isni.is_valid, mostly_right(digits(15), appending("iso-7064-mod-11-2"))),
    "lei": (
        lei.is_valid,
        mostly_right(st.text(ALPHANUMERIC, min_size=18, max_size=18), appending("iso-7064-mod-97-10")),
    ),
    "grid": (
        grid.is_valid,
        mostly_right(
            st.text(ALPHANUMERIC, min_size=15, max_size=15).map(lambda rest: "A1" + rest),
            appending("iso-7064-mod-37-36"),
        ),
    ),
    "iban": (is_iban, mostly_right(digits(18), iban_of)),
    "iso_6346": (
        # The library also takes digits in the owner's code and the category R.
        lambda text: iso6346.is_valid(text) and text[:3].isalpha() and text[3] in "UJZ",
        mostly_right(digits(6).map(lambda rest: "CSQU" + rest), appending("iso-6346")),
    ),
}
"""File of a scheme to python-stdnum's judgement, and numbers to judge."""


@pytest.mark.parametrize("name", JUDGED)
@given(data=st.data())
def test_a_number_is_valid_exactly_where_the_library_says_so(name: str, data: st.DataObject) -> None:
    judge, numbers = JUDGED[name]
    text = data.draw(numbers)
    # The library reads what stands there; a look-alike is told from the digit here.
    strict = isinstance(reading := read(name, text), Decoded) and reading.serial == text
    assert strict == judge(text)


@pytest.mark.parametrize("name", JUDGED)
def test_both_judgements_occur(name: str) -> None:
    judge, numbers = JUDGED[name]
    seen: set[bool] = set()

    @given(numbers)
    def note(text: str) -> None:
        seen.add(judge(text))

    note()
    assert seen == {True, False}


@given(
    mostly_right(
        st.text(VIN_CHARACTERS, min_size=16, max_size=16),
        lambda body: body[:8] + SYSTEMS["vin"].compute(body) + body[8:],
    )
)
def test_a_vin_is_valid_exactly_where_vininfo_says_so(text: str) -> None:
    try:
        known = Vin(text)
        verified = bool(known.verify_checksum(check_year=False))
    except ValidationError:
        verified = False
    reading = read("vin", text)
    # The library verifies a number whose year code is none; here that is a wrong field.
    assert isinstance(reading, Decoded) == (verified and text[9] not in "UZ0")


@given(st.sampled_from("ABCDEFGHJKLMNPRSTVWXY123456789"), st.text(VIN_CHARACTERS, min_size=15, max_size=15))
def test_the_years_of_a_vin_are_among_vininfos(code: str, rest: str) -> None:
    body = rest[:8] + code + rest[8:]
    reading = read("vin", body[:8] + SYSTEMS["vin"].compute(body) + body[8:])
    assert isinstance(reading, Decoded)
    known = set(Vin(reading.serial).years)
    assert known <= reading.fields["model_year"]
    # Years that the library leaves out have not come yet.
    assert all(year > max(known) for year in reading.fields["model_year"] - known)


@given(mostly_right(digits(17), appending("gs1-mod-10")))
def test_a_shipping_container_code_is_valid_exactly_where_biip_says_so(text: str) -> None:
    known = biip.parse(text).sscc if text.isdigit() else None
    assert is_valid(scheme("sscc"), text) == (known is not None) or not text.isdigit()


@pytest.mark.parametrize(
    ("name", "length"), [("gtin_8", 7), ("gtin_12", 11), ("gtin_13", 12), ("gtin_14", 13)]
)
@given(data=st.data())
def test_a_trade_item_number_is_valid_exactly_where_biip_says_so(
    name: str, length: int, data: st.DataObject
) -> None:
    text = data.draw(mostly_right(digits(length), appending("gs1-mod-10")).filter(str.isdigit))
    known = biip.parse(text).gtin
    # The library also takes eight digits for a shortened number of twelve.
    assert is_valid(scheme(name), text) == (known is not None and known.value == text)
