"""Two schemes overlap exactly where there is a text that both read."""

from __future__ import annotations

from itertools import combinations, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.serials import Decoded, Scheme, Subject, decode, make, overlap, scheme_from_document
from service.domain.serials.overlapping import TRIED
from service.domain.terms import Serial
from tests.serials.drawn import Drawn, drawn
from tests.serials.published import SCHEMES, scheme

Document = dict[str, Any]

FEW = "0123"
"""So few characters that every text of a few places can be tried."""
CHECKS = "0123456789X"
"""All check characters of the systems below."""


def reads(by: Scheme, text: str) -> bool:
    """Whether it reads the text as it stands."""
    reading = decode((by,), by.subject, text)
    return isinstance(reading, Decoded) and reading.serial == text


def document(ident: str, fields: list[Document]) -> Document:
    named = [{"name": f"f{at}", **field} for at, field in enumerate(fields)]
    return {"id": ident, "name": ident, "subject": "unit", "lookalikes": False, "fields": named}


def texts(length: int) -> st.SearchStrategy[str]:
    return st.text(FEW, min_size=length, max_size=length)


@st.composite
def small_fields(draw: st.DrawFn) -> Document:
    kind = draw(st.sampled_from(["text", "code", "only", "open", "sequence"]))
    length = draw(st.integers(1, 2))
    if kind == "text":
        return {"kind": "text", "text": draw(texts(length))}
    if kind == "only":
        return {"kind": "code", "only": draw(st.lists(texts(length), min_size=1, max_size=4, unique=True))}
    if kind == "sequence":
        first, last = sorted(draw(st.tuples(st.integers(0, 3), st.integers(0, 3))))
        return {"kind": "sequence", "length": 2, "characters": "01", "from": first, "to": last}
    least = draw(st.integers(1, length)) if kind == "open" else length
    characters = draw(st.sampled_from(["01", "23", "03", "0123"]))
    return {"kind": "code", "length": [least, length], "characters": characters}


@st.composite
def small(draw: st.DrawFn) -> Scheme:
    """A scheme of at most five places over a few characters, perhaps with a check."""
    fields = draw(st.lists(small_fields(), min_size=1, max_size=2))
    for other in [field for field in fields if field["kind"] == "code" and "length" in field][1:]:
        other["length"] = other["length"][1]
    if draw(st.booleans()):
        check = {
            "kind": "check",
            "system": draw(st.sampled_from(["luhn", "damm", "iso-7064-mod-11-2"])),
        }
        fields.insert(draw(st.integers(0, len(fields))), check)
    return scheme_from_document(document("small", fields))


def all_read(by: Scheme) -> set[str]:
    """Every text that the scheme reads, found by trying all texts of the few characters.

    Where there is a check, every check character is tried at every place that it can have.
    """
    at = next((place for place, field in enumerate(by.fields) if field.check), None)
    plain = [field for field in by.fields if field.check is None]
    lengths = range(sum(field.least for field in plain), sum(field.most for field in plain) + 1)
    bodies = ["".join(each) for length in lengths for each in product(FEW, repeat=length)]
    if at is None:
        return {text for text in bodies if reads(by, text)}
    before = by.fields[:at]
    places = range(sum(field.least for field in before), sum(field.most for field in before) + 1)
    tried = (body[:place] + check + body[place:] for body in bodies for place in places for check in CHECKS)
    return {text for text in tried if reads(by, text)}


@given(small(), small())
def test_an_overlap_is_found_exactly_where_brute_force_finds_one(one: Scheme, other: Scheme) -> None:
    found = overlap(one, other)
    if found is None:
        assert all_read(one).isdisjoint(all_read(other))
    else:
        assert reads(one, found)
        assert reads(other, found)


def test_the_small_schemes_overlap_and_do_not() -> None:
    seen: list[bool] = []

    @given(small(), small())
    def note(one: Scheme, other: Scheme) -> None:
        seen.append(overlap(one, other) is None)

    note()
    assert min(seen.count(True), seen.count(False)) >= 10


@given(drawn(), drawn())
def test_a_serial_of_one_scheme_is_never_read_by_another_that_does_not_overlap(
    one: Drawn, other: Drawn
) -> None:
    serial = make(one.scheme, one.values)
    if overlap(one.scheme, other.scheme) is None:
        assert not reads(other.scheme, serial)


@given(drawn(), drawn())
def test_it_is_the_same_both_ways_and_every_time(one: Drawn, other: Drawn) -> None:
    there = overlap(one.scheme, other.scheme)
    assert overlap(one.scheme, other.scheme) == there
    assert (overlap(other.scheme, one.scheme) is None) == (there is None)


@given(drawn())
def test_a_scheme_overlaps_itself(case: Drawn) -> None:
    found = overlap(case.scheme, case.scheme)
    assert found is not None
    assert reads(case.scheme, found)


def test_published_schemes_overlap_where_their_numbers_do() -> None:
    # Book numbers of 13 digits are trade item numbers; IMEI has as many digits as none of the others here.
    named = ["vin", "imei", "imeisv", "gtin_8", "gtin_12", "gtin_13", "gtin_14", "isbn_10", "isbn_13", "issn"]
    found = {(one, other) for one, other in combinations(named, 2) if overlap_of(one, other) is not None}
    assert found == {("gtin_13", "isbn_13"), ("gtin_8", "issn")}
    assert overlap_of("gtin_13", "isbn_13") == "9780000000002"


def overlap_of(one: str, other: str) -> Serial | None:
    return overlap(scheme(one), scheme(other))


@pytest.mark.parametrize("name", SCHEMES)
def test_units_and_boards_never_overlap(name: str) -> None:
    mine = scheme(name)
    other = next(scheme(each) for each in SCHEMES if scheme(each).subject is not mine.subject)
    assert overlap(mine, other) is None
    assert {mine.subject, other.subject} == set(Subject)


def test_a_search_without_end_answers_on_the_safe_side() -> None:
    # Both run Luhn over the same nine digits, the second over a fixed 1 before them too. That adds 1 or 2
    # to the sum, so no serial has both checks; the layouts alone share a thousand million.
    fields: list[Document] = [
        {"kind": "text", "text": "1"},
        {"kind": "code", "length": 9, "characters": "digits"},
    ]
    without = scheme_from_document(
        document("without", [*fields, {"kind": "check", "system": "luhn", "over": ["f1"]}])
    )
    within = scheme_from_document(document("within", [*fields, {"kind": "check", "system": "luhn"}]))
    found = overlap(without, within)
    assert found == "1" + "0" * 10
    assert not (reads(without, found) and reads(within, found))
    assert TRIED < 10**9


def test_bounds_that_only_just_part_are_told_apart_whatever_follows() -> None:
    # Six free characters follow, far more than can be tried: the bounds alone tell.
    def numbered(ident: str, bounds: Document) -> Scheme:
        number = {"kind": "sequence", "length": 4, **bounds}
        return scheme_from_document(document(ident, [number, {"kind": "code", "length": 6}]))

    assert overlap(numbered("low", {"to": 4500}), numbered("high", {"from": 4501})) is None
    assert overlap(numbered("low", {"to": 4500}), numbered("high", {"from": 4500})) == "4500000000"
    assert overlap(numbered("low", {"to": 4500}), numbered("open", {})) == "0000000000"


def test_a_search_that_ends_is_exact_with_checks_too() -> None:
    # The same with three digits: all are tried, and none is read by both.
    fields: list[Document] = [
        {"kind": "text", "text": "1"},
        {"kind": "code", "length": 3, "characters": "digits"},
    ]
    without = scheme_from_document(
        document("without", [*fields, {"kind": "check", "system": "luhn", "over": ["f1"]}])
    )
    within = scheme_from_document(document("within", [*fields, {"kind": "check", "system": "luhn"}]))
    assert TRIED >= 10 * 10**3
    assert overlap(without, within) is None
