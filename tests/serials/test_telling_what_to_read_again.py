"""An unreadable serial is told with the characters to read again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.domain.serials import (
    Decoded,
    Scheme,
    Subject,
    Unreadable,
    UnreadableCause,
    decode,
    make,
    scheme_from_document,
)
from tests.serials.published import decoded, scheme, unreadable

UNIT = scheme("yard_unit")
GOOD = make(UNIT, {"product": "W4", "year": 2024, "week": 15, "number": 1234})


def test_the_check_character_is_told_with_the_right_one() -> None:
    wrong = unreadable("yard_unit", GOOD[:-1] + "5")
    assert GOOD[-1] != "5"
    assert wrong == Unreadable(
        serial=wrong.serial,
        cause=UnreadableCause.CHECK_CHARACTER,
        scheme=UNIT.id,
        field="check",
        positions=(12,),
        found="5",
        wanted=GOOD[-1],
        suspects=wrong.suspects,
    )


@pytest.mark.parametrize(("place", "seen"), [(7, "7"), (9, "7")])
def test_a_wrong_character_elsewhere_fails_the_check_and_is_not_corrected(place: int, seen: str) -> None:
    wrong = unreadable("yard_unit", GOOD[:place] + seen + GOOD[place + 1 :])
    assert wrong.cause is UnreadableCause.CHECK_CHARACTER
    assert wrong.positions == (12,)


def test_a_usual_misreading_is_suspected() -> None:
    # The product code 84 cannot be told from B4 on a worn label; common practice, no source.
    good = make(UNIT, {"product": "B4", "year": 2024, "week": 15, "number": 1234})
    assert 3 in unreadable("yard_unit", good.replace("B4", "84")).suspects


def test_two_neighbours_swapped_are_suspected() -> None:
    swapped = GOOD[:7] + GOOD[8] + GOOD[7] + GOOD[9:]
    assert GOOD[7] != GOOD[8]
    assert 8 in unreadable("yard_unit", swapped).suspects


def test_a_character_that_cannot_stand_there_is_told_with_those_that_can() -> None:
    wrong = unreadable("yard_unit", GOOD[:8] + "X" + GOOD[9:])
    assert (wrong.cause, wrong.field) == (UnreadableCause.FIELD, "number")
    assert (wrong.positions, wrong.found, wrong.wanted) == ((9,), "X", "0123456789")


def test_one_wrong_fixed_character_still_tells_the_scheme() -> None:
    wrong = unreadable("yard_unit", "YX" + GOOD[2:])
    assert (wrong.scheme, wrong.field, wrong.positions, wrong.wanted) == (UNIT.id, "maker", (2,), "T")


def test_several_wrong_characters_are_told_where_the_fixed_text_names_the_scheme() -> None:
    wrong = unreadable("yard_unit", GOOD[:7] + "WXY" + GOOD[10:])
    assert (wrong.cause, wrong.positions, wrong.found) == (UnreadableCause.FIELD, (8, 9, 10), "WXY")


@pytest.mark.parametrize("text", ["", "Y", "QX" + GOOD[2:], GOOD + "1", GOOD[:-1], "what is this"])
def test_a_text_that_nothing_names_is_of_no_scheme(text: str) -> None:
    wrong = unreadable("yard_unit", text)
    assert (wrong.cause, wrong.scheme, wrong.positions) == (UnreadableCause.NO_SCHEME, None, ())


def test_a_value_that_cannot_be_is_told_before_the_check() -> None:
    wrong = unreadable("yard_unit", GOOD[:5] + "54" + GOOD[7:])
    assert (wrong.cause, wrong.field, wrong.positions, wrong.found) == (
        UnreadableCause.FIELD,
        "week",
        (6, 7),
        "54",
    )


def test_an_unlisted_code_is_told_where_all_codes_are_listed() -> None:
    wrong = unreadable("yard_board", "B4X CC05 001")
    assert (wrong.cause, wrong.field, wrong.found) == (UnreadableCause.FIELD, "part", "4X")


def test_a_sequence_out_of_bounds_is_told() -> None:
    wrong = unreadable("yard_board", "B41 CC05 000")
    assert (wrong.field, wrong.positions, wrong.found) == ("number", (8, 9, 10), "000")


def lettered(ident: str, fields: list[dict[str, object]]) -> Scheme:
    named = [{"name": f"f{at}", **field} for at, field in enumerate(fields)]
    return scheme_from_document({"id": ident, "name": ident, "subject": "unit", "fields": named})


def nearest(schemes: tuple[Scheme, ...], text: str) -> Unreadable:
    reading = decode(schemes, Subject.UNIT, text)
    assert isinstance(reading, Unreadable)
    return reading


def test_among_schemes_of_one_length_the_nearest_is_told() -> None:
    letters = lettered("letters", [{"kind": "code", "length": 12, "characters": "letters"}])
    marked = lettered("marked", [{"kind": "text", "text": "YT"}, {"kind": "sequence", "length": 10}])
    text = GOOD[:8] + "X" + GOOD[9:]
    # One character cannot stand in the plate serial, four in the other scheme with that fixed text.
    for schemes in ((letters, marked, UNIT), (letters, UNIT, marked), (UNIT, marked, letters)):
        assert nearest(schemes, text).scheme == UNIT.id
    assert nearest((letters, marked), text).positions == (3, 9, 12)
    assert nearest((letters,), text).cause is UnreadableCause.NO_SCHEME


def test_of_two_schemes_whose_checks_fail_the_first_is_told() -> None:
    fields: list[dict[str, object]] = [{"kind": "code", "length": 9, "characters": "digits"}]
    luhn = lettered("luhn", [*fields, {"kind": "check", "system": "luhn"}])
    damm = lettered("damm", [*fields, {"kind": "check", "system": "damm"}])
    wrong = "1234567895"
    for schemes in ((luhn, damm), (damm, luhn)):
        reading = nearest(schemes, wrong)
        assert (reading.cause, reading.scheme) == (UnreadableCause.CHECK_CHARACTER, schemes[0].id)


def test_without_a_fixed_text_two_wrong_characters_are_of_no_scheme() -> None:
    assert unreadable("imei", "A90154203237518").positions == (1,)
    assert unreadable("imei", "AB0154203237518").cause is UnreadableCause.NO_SCHEME


def test_a_look_alike_of_what_cannot_stand_there_is_told_as_it_was_typed() -> None:
    marked = lettered(
        "marked", [{"kind": "text", "text": "YT"}, {"kind": "code", "length": 2, "characters": "ABC"}]
    )
    wrong = nearest((marked,), "YTAO")
    assert (wrong.positions, wrong.found, wrong.wanted) == ((4,), "O", "ABC")


def test_a_text_read_as_it_stands_wins_over_one_read_with_look_alikes() -> None:
    def of(ident: str, characters: str) -> dict[str, object]:
        fields = [{"name": "all", "kind": "code", "length": 4, "characters": characters}]
        return {"id": ident, "name": ident, "subject": "unit", "fields": fields}

    schemes = scheme_from_document(of("numbers", "digits")), scheme_from_document(of("words", "letters"))
    reading = decode(schemes, Subject.UNIT, "OIOI")
    assert isinstance(reading, Decoded)
    assert (reading.scheme, reading.serial) == ("words", "OIOI")
    reading = decode(schemes, Subject.UNIT, "OI01")
    assert isinstance(reading, Decoded)
    assert reading.serial in {"0101", "OIOI"}


def test_a_scheme_without_look_alikes_tells_them() -> None:
    strict = replace(UNIT, lookalikes=False)
    typed = GOOD.replace("1234", "I234")
    assert decoded("yard_unit", typed).serial == GOOD
    reading = decode((strict,), Subject.UNIT, typed)
    assert isinstance(reading, Unreadable)
    assert (reading.positions, reading.found) == ((8,), "I")
