"""Ranges hold what the widespread grammar's own library says they hold.

`data/semver_ranges_node_semver_7.8.6.json`: 135 versions in 35 ranges, the answers of the npm package semver
7.8.6 (`satisfies`, default options). Second library: semantic-version's `NpmSpec`, which treats pre-releases
otherwise in five of the ranges.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import semantic_version
from hypothesis import given
from hypothesis import strategies as st

from service.domain.software.ranges import Range, exactly, parse_range
from service.domain.software.versions import LONGEST, parse_version

PUBLISHED = json.loads(
    (Path(__file__).parent / "data" / "semver_ranges_node_semver_7.8.6.json").read_text(encoding="utf-8")
)
VERSIONS: list[str] = PUBLISHED["versions"]
RANGES: dict[str, list[str]] = PUBLISHED["ranges"]

OTHERWISE = {
    "<=1.2.0": {"1.2.0-alpha", "1.2.0-alpha.1", "1.2.0-beta.2", "1.2.0-rc.1"},
    "<2.0.0": {"2.0.0-alpha", "2.0.0-alpha.1", "2.0.0-beta.2", "2.0.0-rc.1"},
    "<1.2": {"1.2.0-alpha", "1.2.0-alpha.1", "1.2.0-beta.2", "1.2.0-rc.1"},
    "<=1": {"2.0.0-alpha", "2.0.0-alpha.1", "2.0.0-beta.2", "2.0.0-rc.1"},
    "~1.2.0-alpha.1": {"1.2.1", "1.2.3"},
}
"""Where `NpmSpec` answers otherwise than the npm package and we."""

BOUNDS = (
    ("^1.2.3", ">=1.2.3 <2.0.0-0"),
    ("^0.2.3", ">=0.2.3 <0.3.0-0"),
    ("^0.0.3", ">=0.0.3 <0.0.4-0"),
    ("~1.2.3", ">=1.2.3 <1.3.0-0"),
    ("~1", ">=1.0.0 <2.0.0-0"),
    ("1.2.3 - 2.3", ">=1.2.3 <2.4.0-0"),
    ("1.2 - 2.3.4", ">=1.2.0 <=2.3.4"),
    ("1.x", ">=1.0.0 <2.0.0-0"),
    ("^0.x", "<1.0.0-0"),
    ("^0", "<1.0.0-0"),
    ("~0", "<1.0.0-0"),
    ("=1", "1.*.*"),
    (">1", ">=2.0.0"),
    ("<=1.2", "<1.3.0-0"),
)
"""Ranges and how the npm package writes them out (the first nine as it printed them, others from memory)."""
NOT_IN_THE_GRAMMAR = (
    *("", "  ", "||", "1.2.3 ||", "v1.2.3", "> 1.2.3", "~>1.2", "1.2.3+a", "1.2-alpha", "1.x.3", "*.1"),
    *("1.2.3.4", "01.2.3", ">=1.0.0,<2.0.0", "^1.0.0 - 2.0.0", "1.0.0 - ", "1 - 2 - 3", "latest", "1.x-a"),
    *("1.2.3-01", "1.0.0\t2.0.0", "1.0.0\n", "≥1.0.0", ">*", "^x", "*" * (LONGEST + 1)),
)


def held(range_: Range, versions: list[str]) -> list[str]:
    return [text for text in versions if parse_version(text) in range_]


def test_the_published_answers_are_whole() -> None:
    assert len(VERSIONS) * len(RANGES) == 4725
    assert set(OTHERWISE) < set(RANGES)


@pytest.mark.parametrize("text", RANGES)
def test_a_range_holds_the_published_versions(text: str) -> None:
    assert sorted(held(parse_range(text), VERSIONS)) == sorted(RANGES[text])


@pytest.mark.parametrize("text", RANGES)
def test_the_second_library_differs_in_the_named_versions_only(text: str) -> None:
    spec = semantic_version.NpmSpec(text)
    theirs = {version for version in VERSIONS if semantic_version.Version(version) in spec}
    assert theirs ^ set(held(parse_range(text), VERSIONS)) == OTHERWISE.get(text, set())


def test_versions_are_sorted_as_published() -> None:
    assert sorted(VERSIONS, key=parse_version) == PUBLISHED["sorted"]


@pytest.mark.parametrize(("text", "written_out"), BOUNDS)
def test_a_short_form_is_the_long_one(text: str, written_out: str) -> None:
    short, long = parse_range(text), parse_range(written_out)
    grid = VERSIONS + [f"{a}.{b}.{c}" for a in range(4) for b in range(5) for c in range(6)]
    assert held(short, grid) == held(long, grid)


@pytest.mark.parametrize(
    ("version", "text", "lies_in_it"),
    [
        ("2.0.0-alpha.1", "^1.2.3", False),
        ("2.0.0-alpha.1", "<2.0.0", False),
        ("2.0.0-alpha.1", ">=1.0.0", False),
        ("1.2.3-alpha.7", ">1.2.3-alpha.3", True),
        ("3.4.5-alpha.9", ">1.2.3-alpha.3", False),
        ("1.2.3-alpha.7", ">1.2.3-alpha.3 <2.0.0", True),
        ("1.2.3-alpha.7", ">=1.0.0 || =1.2.3-alpha.7", True),
        ("2.0.0-beta", ">1 >=2.0.0-alpha", False),
        ("2.0.0-beta", ">1.9.9 >=2.0.0-alpha", True),
    ],
)
def test_a_pre_release_lies_in_a_range_that_names_one_of_its_numbers(
    version: str, text: str, lies_in_it: bool
) -> None:
    """The first five are answers of the npm package; in the others its rule is worked out by hand."""
    assert (parse_version(version) in parse_range(text)) is lies_in_it


def test_the_newest_of_a_range() -> None:
    """The npm package's `maxSatisfying` on these is 1.4.0."""
    offered = ["1.2.3", "1.4.0", "2.0.0", "1.5.0-rc.1"]
    assert max(held(parse_range("^1.2.0"), offered), key=parse_version) == "1.4.0"


@pytest.mark.parametrize("text", NOT_IN_THE_GRAMMAR)
def test_what_the_grammar_does_not_have_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="range"):
        parse_range(text)


@given(st.sampled_from(VERSIONS), st.sampled_from(VERSIONS))
def test_exactly_one_version(one: str, two: str) -> None:
    assert (parse_version(two) in exactly(parse_version(one))) == (one == two)
    assert exactly(parse_version(one)) == parse_range(f"={one}")


PARTIALS = st.from_regex(r"[0-2](\.[0-3](\.[0-3])?)?|[0-2]\.x", fullmatch=True)
SETS = st.lists(
    st.tuples(st.sampled_from(["", "<", "<=", ">", ">=", "=", "^", "~"]), PARTIALS), min_size=1, max_size=3
)


@given(SETS)
def test_finished_versions_lie_in_random_sets_as_in_the_second_library(words: list[tuple[str, str]]) -> None:
    text = " ".join(operator + partial for operator, partial in words)
    finished = [version for version in VERSIONS if "-" not in version]
    spec = semantic_version.NpmSpec(text)
    assert held(parse_range(text), finished) == [v for v in finished if semantic_version.Version(v) in spec]
