"""Vehicle identification numbers: ISO 3779 and 49 CFR 565.15."""

from __future__ import annotations

import pytest

from service.domain.serials import UnreadableCause
from service.domain.serials.check import SYSTEMS
from tests.serials.published import decoded, unreadable

VALID = "1M8GDM9AXKP042788"

CLASSES = ("0", "1AJ", "2BKS", "3CLT", "4DMU", "5ENV", "6FW", "7GPX", "8HY", "9RZ")
"""Characters to which table III of 49 CFR 565.15 gives one value."""


def test_the_two_worked_examples() -> None:
    # 49 CFR 565 table V (weighted sum 411), and NHTSA, "Outline for New Manufacturer Information", p. 18.
    assert decoded("vin", "1G4AH59H45G118341").fields["check"] == {"4"}
    assert decoded("vin", "1J9RP1A36A1644345").fields["check"] == {"6"}


def test_named_fields() -> None:
    # An encyclopedia's example (from memory), decoded with vininfo.
    fields = decoded("vin", VALID).fields
    assert fields["manufacturer"] == {"1M8"}
    assert fields["descriptor"] == {"GDM9A"}
    assert fields["plant"] == {"P"}
    assert fields["number"] == {"042788"}


@pytest.mark.parametrize(
    ("code", "years"),
    [
        ("A", {1980, 2010}),
        ("K", {1989, 2019}),
        ("S", {1995, 2025}),
        ("T", {1996, 2026}),
        ("Y", {2000, 2030}),
        ("1", {2001, 2031}),
        ("5", {2005, 2035}),
        ("9", {2009, 2039}),
    ],
)
def test_a_year_code_stands_for_all_its_years(code: str, years: set[int]) -> None:
    # 49 CFR 565.15 table VI: the cycle of 30 begins in 1980 with A.
    body = f"1M8GDM9A{code}P042788"
    number = body[:8] + SYSTEMS["vin"].compute(body) + body[8:]
    assert decoded("vin", number).fields["model_year"] == years


@pytest.mark.parametrize("code", "UZ0")
def test_no_year_has_these_codes(code: str) -> None:
    wrong = unreadable("vin", VALID[:9] + code + VALID[10:])
    assert (wrong.cause, wrong.field, wrong.positions) == (UnreadableCause.FIELD, "model_year", (10,))


@pytest.mark.parametrize("letter", "IOQ")
@pytest.mark.parametrize("place", range(17))
def test_letters_that_no_vin_has_are_told_before_the_check(letter: str, place: int) -> None:
    wrong = unreadable("vin", VALID[:place] + letter + VALID[place + 1 :])
    assert (wrong.cause, wrong.positions, wrong.found) == (UnreadableCause.FIELD, (place + 1,), letter)
    assert letter not in wrong.wanted


def test_sixteen_characters_are_no_vin() -> None:
    assert unreadable("vin", VALID[:-1]).cause is UnreadableCause.NO_SCHEME


def test_an_s_read_for_a_5_is_found_and_its_place_suspected() -> None:
    # An encyclopedia's example (from memory): valid with 5 first; with S the check would have to be X.
    assert decoded("vin", "5GZCZ43D13S812715").fields["check"] == {"1"}
    wrong = unreadable("vin", "SGZCZ43D13S812715")
    assert (wrong.cause, wrong.positions, wrong.wanted) == (UnreadableCause.CHECK_CHARACTER, (9,), "X")
    assert 1 in wrong.suspects


@pytest.mark.parametrize("place", [*range(8), *range(9, 17)])
def test_within_a_class_of_one_value_no_misreading_shows_and_every_other_does(place: int) -> None:
    # The classes follow from table III; the 17-character alphabet leaves out I, O and Q.
    system = SYSTEMS["vin"]
    body = VALID[:8] + VALID[9:]
    at = place - (place > 8)
    for kin in CLASSES:
        for character in kin:
            changed = body[:at] + character + body[at + 1 :]
            assert system.holds(changed, "X") == (body[at] in kin)
    assert sorted("".join(CLASSES)) == sorted(system.body)
