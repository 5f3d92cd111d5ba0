"""Overlaps and circles are found exactly: compared with trying every cell, and with following every road."""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from service.papers import check
from tests.papers.documents import SMALL_DATA, as_json

NUMBERS = st.integers(1, 6)
Edge = tuple[int, int, bool]


@st.composite
def rows(draw: st.DrawFn) -> dict[str, Any]:
    """A row of the lamp's list for the bee: no break, or one bound or two, on serial or date."""
    axis = draw(st.sampled_from(["serial", "date"]))
    first, before = sorted(draw(st.sets(NUMBERS, min_size=2, max_size=2)))
    start = "BB20100" if axis == "serial" else "2010-01-"
    bounds = {f"{axis}_from": f"{start}{first:02d}", f"{axis}_before": f"{start}{before:02d}"}
    return {"models": ["bee"], **{name: value for name, value in bounds.items() if draw(st.booleans())}}


def cells(row: dict[str, Any], axis: str) -> set[int]:
    """The serials, or the days, from 0 to 7 that a row holds on an axis; none with a break on the other."""
    if any(name.startswith("date" if axis == "serial" else "serial") for name in row):
        return set()
    first, before = (row.get(f"{axis}_{bound}") for bound in ("from", "before"))
    return set(range(int(first[-2:]) if first else 0, int(before[-2:]) if before else 8))


@given(st.lists(rows(), min_size=1, max_size=4))
@settings(max_examples=150)
def test_rows_overlap_exactly_if_they_share_a_cell(listed: list[dict[str, Any]]) -> None:
    pairs = [(one, other) for at, one in enumerate(listed) for other in listed[:at]]
    shared = any(cells(one, axis) & cells(other, axis) for one, other in pairs for axis in ("serial", "date"))
    data = deepcopy(SMALL_DATA)
    data["parts"][3]["fits"] = listed
    assert {fault.code for fault in check(as_json(data))} == ({"overlapping_rows"} if shared else set())


@st.composite
def replacements(draw: st.DrawFn) -> list[Edge]:
    """Which of seven parts replaces which, and whether both ways."""
    pairs = draw(st.sets(st.tuples(NUMBERS, NUMBERS).filter(lambda pair: pair[0] != pair[1]), max_size=8))
    return [(newer, older, draw(st.integers(0, 3)) == 0) for newer, older in sorted(pairs)]


def reached(start: int, roads: Iterable[tuple[int, int]]) -> set[int]:
    """Everything that can be come to from a part along the roads, the part itself included."""
    found: set[int] = {start}
    for _ in range(8):
        found |= {end for begin, end in roads if begin in found}
    return found


def has_circle(edges: list[Edge]) -> bool:
    """Parts that replace each other both ways are one; a circle leads from it over others back to it."""
    equal = [(a, b) for newer, older, both in edges if both for a, b in ((newer, older), (older, newer))]
    one_way = [(newer, older) for newer, older, both in edges if not both]
    leaving = [(newer, older) for newer, older in one_way if older not in reached(newer, equal)]
    return any(newer in reached(older, [*equal, *leaving]) for newer, older in leaving)


def with_replacements(edges: list[Edge]) -> Any:
    data = deepcopy(SMALL_DATA)
    for number in range(1, 7):
        told = [{"part": f"Z-{older}", "both_ways": both} for newer, older, both in edges if newer == number]
        part = {"number": f"Z-{number}", "name": "lamp", "role": "lamp", "fits": [{"models": ["bee"]}]}
        data["parts"].append({**part, "replaces": told})
    return data


@given(replacements())
@settings(max_examples=200)
def test_a_circle_is_found_exactly_if_there_is_one(edges: list[Edge]) -> None:
    expected = {"replacement_circle"} if has_circle(edges) else set()
    assert {fault.code for fault in check(as_json(with_replacements(edges)))} == expected


def test_the_cases_are_interesting() -> None:
    seen: list[bool] = []

    @given(replacements())
    @settings(max_examples=200)
    def look(edges: list[Edge]) -> None:
        seen.append(has_circle(edges))

    look()
    assert min(seen.count(True), seen.count(False)) >= 30


def test_equal_parts_and_a_line_of_replacements_are_no_circle() -> None:
    assert check(as_json(with_replacements([(2, 1, True), (3, 2, False), (4, 3, True), (1, 2, False)]))) == []
    (fault,) = check(as_json(with_replacements([(2, 1, True), (3, 2, False), (1, 3, False)])))
    assert fault.code == "replacement_circle"
    assert "Z-3" in fault.message
