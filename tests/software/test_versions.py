"""Versions are read and ordered as Semantic Versioning 2.0.0 says, and as two libraries do.

Libraries: python-semver and semantic-version, both for what a version is and which of two is newer.
"""

from __future__ import annotations

from itertools import pairwise, product

import pytest
import semantic_version
import semver
from hypothesis import given
from hypothesis import strategies as st

from service.domain.software.versions import LONGEST, Version, is_version, parse_version
from tests.software.published_versions import CHAINS, INVALID, VALID

PARTS = st.text("0123456789aAzZ-", min_size=1, max_size=4)
TEXTS = st.from_regex(r"[0-9]{1,2}\.[0-9]{1,2}\.[0-9]{1,2}", fullmatch=True)
DOTTED = st.lists(PARTS, min_size=1, max_size=3).map(".".join)


@st.composite
def version_texts(draw: st.DrawFn) -> str:
    """Texts of a version's shape: some break a rule, such as a leading zero."""
    text = draw(TEXTS)
    text += draw(st.just("") | DOTTED.map("-{}".format))
    return text + draw(st.just("") | DOTTED.map("+{}".format))


def in_both(text: str) -> bool:
    verdict = bool(semver.Version.is_valid(text))
    assert verdict == semantic_version.validate(text), f"the libraries differ on {text}"
    return verdict


def test_the_published_list_is_whole() -> None:
    assert (len(VALID), len(INVALID)) == (31, 40)


@pytest.mark.parametrize("text", VALID)
def test_a_version_is_read_and_written_as_it_was(text: str) -> None:
    assert in_both(text)
    assert is_version(text)
    assert str(parse_version(text)) == text


@pytest.mark.parametrize("text", sorted(set(INVALID)))
def test_what_is_no_version_is_refused(text: str) -> None:
    assert not in_both(text)
    assert not is_version(text)
    with pytest.raises(ValueError, match="not a version"):
        parse_version(text)


@pytest.mark.parametrize(
    "text", ["v1.2.3", "1.2.3 ", "1.2.3\n", "\u0661.2.3", "1.2.3-\u00e9", "", "1.2.3-", "1.2.3+"]
)
def test_nothing_of_another_alphabet_or_about_it_is_let_in(text: str) -> None:
    assert not is_version(text)


def test_a_text_has_a_longest_length() -> None:
    longest = "1.2." + "3" * (LONGEST - 4)
    assert str(parse_version(longest)) == longest
    assert not is_version(longest + "3")
    with pytest.raises(ValueError, match="not a version"):
        parse_version(longest + "3")


@pytest.mark.parametrize("chain", CHAINS, ids=["pre-releases", "numbers"])
def test_each_of_the_standards_chain_is_older_than_the_next(chain: tuple[str, ...]) -> None:
    assert all(parse_version(older) < parse_version(newer) for older, newer in pairwise(chain))


def test_build_metadata_gives_no_precedence() -> None:
    one, two = parse_version("1.0.0+a"), parse_version("1.0.0+b")
    assert one == two
    assert not one < two
    assert hash(one) == hash(two)
    assert str(one) != str(two)


def ours(one: Version, two: Version) -> int:
    return (one > two) - (one < two)


def test_the_published_versions_are_ordered_as_in_both_libraries() -> None:
    for one, two in product(VALID, VALID):
        verdict = ours(parse_version(one), parse_version(two))
        assert verdict == semver.Version.parse(one).compare(two)
        theirs = [semantic_version.Version(text).truncate("prerelease").precedence_key for text in (one, two)]
        assert verdict == (theirs[0] > theirs[1]) - (theirs[0] < theirs[1])


@given(version_texts(), version_texts())
def test_any_two_texts_are_judged_and_ordered_as_in_the_library(one: str, two: str) -> None:
    assert is_version(one) == in_both(one)
    if is_version(one) and is_version(two):
        assert ours(parse_version(one), parse_version(two)) == semver.Version.parse(one).compare(two)
