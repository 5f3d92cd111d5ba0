"""Every check value of data/check_characters.json, by the bare system and by a scheme that states it.

Each row names where its example is from; most attributions are from memory, as the rows say.
"""

from __future__ import annotations

from typing import Any

import pytest

from service.domain.serials import UnreadableCause, format_serial
from service.domain.serials.check import SYSTEMS
from service.domain.terms import Serial
from tests.serials.published import decoded, read, rows, scheme, unreadable

ROWS = rows("check_characters")

STATED: dict[tuple[str, int], str] = {
    ("vin-49cfr565", 17): "vin",
    ("imei-luhn", 15): "imei",
    ("gs1-mod10", 8): "gtin_8",
    ("gs1-mod10", 13): "gtin_13",
    ("gs1-mod10", 14): "gtin_14",
    ("gs1-mod10", 18): "sscc",
    ("isbn10", 10): "isbn_10",
    ("issn", 8): "issn",
    ("iso6346", 11): "iso_6346",
}
"""System of a row and length of its number to the file that states such a number."""


def file_of(row: dict[str, Any], number: str) -> str:
    usual: str = row["system"].replace("iso7064-", "iso_7064_mod_").replace("-", "_")
    return STATED.get((row["system"], len(number)), usual)


def number_of(row: dict[str, Any], check: str) -> str:
    """Body and check; a body marks the place of the check where that is not the end."""
    body: str = row["body"]
    return body.replace("_", check) if "_" in body else body + check


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['system']}-{row['body']}")
def test_a_published_number_is_read_and_its_body_gives_its_check(row: dict[str, Any]) -> None:
    number = number_of(row, row["check"])
    name = file_of(row, number)
    reading = decoded(name, number)
    assert reading.fields["check"] == {row["check"]}
    (check,) = (field.check for field in scheme(name).fields if field.check)
    assert check.system.compute(row["body"].replace("_", "")) == row["check"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['system']}-{row['body']}")
def test_every_other_check_is_refused_and_the_right_one_named(row: dict[str, Any]) -> None:
    name = file_of(row, number_of(row, row["check"]))
    (check,) = (field for field in scheme(name).fields if field.check)
    assert check.check is not None
    # With two check characters, the first stays right: only the last is made wrong.
    for last in sorted(set(check.characters) - {row["check"][-1]}):
        wrong = unreadable(name, number_of(row, row["check"][:-1] + last))
        assert (wrong.cause, wrong.wanted) == (UnreadableCause.CHECK_CHARACTER, row["check"])
        assert wrong.found == row["check"][:-1] + last
        assert "".join(wrong.serial[place - 1] for place in wrong.positions) == wrong.found


def test_the_rows_reach_every_published_system() -> None:
    reached = {
        field.check.system.name
        for row in ROWS
        for field in scheme(file_of(row, number_of(row, row["check"]))).fields
        if field.check
    }
    assert reached == SYSTEMS.keys() - {"verhoeff", "damm"}


# Sources: python-stdnum's own examples; attributions from memory.
@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("verhoeff", "2363"),
        ("verhoeff", "123451"),
        ("damm", "5724"),
        ("iban", "GB82 WEST 1234 5698 7654 32"),
        ("iban", "DE89370400440532013000"),
        ("isbn_13", "978-0-306-40615-7"),
        ("isbn_10", "0-306-40615-2"),
        ("isbn_10", "0-8044-2957-x"),
        ("issn", "2434-561X"),
        ("lei", "5493001KJTIIGC8Y1R12"),
        ("isni", "0000 0001 2281 955X"),
        ("grid", "A1-2425G-ABC1234002-M"),
        ("donation", "G1234 89 654321 Y"),
        ("iso_6346", "csqu 305438 3"),
        ("imei", "49-015420-323751-8"),
        ("gtin_12", "0 36000 29145 2"),
    ],
)
def test_a_number_is_read_as_it_is_printed(name: str, text: str) -> None:
    assert decoded(name, text).scheme == scheme(name).id


def test_luhn_admits_one_of_ten() -> None:
    # ISO/IEC 7812-1 annex B, a common example (from memory).
    readable = [last for last in "0123456789" if not hasattr(read("luhn", "7992739871" + last), "cause")]
    assert readable == ["3"]


def test_software_version_without_check() -> None:
    # 3GPP TS 23.003 (from memory): 16 digits end in the software version, 15 in a check digit.
    assert decoded("imeisv", "35-209900-176148-23").fields["software"] == {23}
    assert decoded("imei", "35-209900-176148-1").fields["number"] == {176148}
    assert unreadable("imei", "35-209900-176148-23").cause is UnreadableCause.NO_SCHEME


def test_zeros_before_a_body_change_nothing_except_in_a_hybrid_system() -> None:
    # GS1 General Specifications and ISO/IEC 7064 (from memory).
    assert SYSTEMS["gs1-mod-10"].compute("3600029145") == SYSTEMS["gs1-mod-10"].compute("03600029145") == "2"
    assert SYSTEMS["iso-7064-mod-11-2"].compute("794") == SYSTEMS["iso-7064-mod-11-2"].compute("0794")
    assert SYSTEMS["iso-7064-mod-11-10"].compute("0794") == "5"
    assert SYSTEMS["iso-7064-mod-11-10"].compute("794") == "6"


def test_both_writings_of_a_mod_97_10_remainder_hold() -> None:
    # 98 and 01 are congruent modulo 97, as are 97 and 00.
    system = SYSTEMS["iso-7064-mod-97-10"]
    assert system.compute("0097") == "98"
    assert system.holds("0097", "98")
    assert system.holds("0097", "01")
    assert not system.holds("0097", "00")


def test_an_sscc_with_a_wrong_check_digit_says_which() -> None:
    # GS1's check digit page (from memory): 376104250021234569.
    wrong = unreadable("sscc", "3 7610425002123456 8")
    assert (wrong.positions, wrong.found, wrong.wanted) == ((18,), "8", "9")


@pytest.mark.parametrize(
    ("name", "serial", "printed"),
    [
        ("imei", "490154203237518", "49-015420-323751-8"),
        ("imeisv", "3520990017614823", "35-209900-176148-23"),
        ("issn", "2434561X", "2434-561X"),
        ("isni", "000000012281955X", "0000 0001 2281 955X"),
        ("grid", "A12425GABC1234002M", "A1-2425G-ABC1234002-M"),
        ("iban", "DE89370400440532013000", "DE89370400440532013000"),
        ("imei", "4901", "4901"),
    ],
)
def test_a_serial_is_printed_as_its_label_groups_it(name: str, serial: str, printed: str) -> None:
    assert format_serial(scheme(name), Serial(serial)) == printed
