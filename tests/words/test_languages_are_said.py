"""What is said in each language can be read aloud: nothing left open, nothing English, nothing long."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from service.demo.world import demo_catalogue, demo_events
from service.papers import read_catalogue
from service.words.events import event_text
from service.words.names import named
from tests.words.catalogues import TRANSLATED
from tests.words.said import Heard, heard, phrases, sentences, whole
from tests.words.test_answers_can_be_read_aloud import END

MOST_WORDS = 45
"""German and French take some more words than English does."""
ENGLISH = re.compile(r"\b(the|and|of|with|your|which|has|have|been|not|board|boards|model not)\b")
QUOTED = re.compile(r"„[^“]*“|«[^»]*»|”[^”]*”|\([^()]*\)")
"""A name that the catalogue has in English alone is quoted, or stands in brackets."""
FLAWS = [
    re.compile(r"[{}]"),
    re.compile(r" {2}"),
    re.compile(r" [.,)]"),
    re.compile(r"[.,;:?!]{2}"),
    re.compile(r"\(\)|\( "),
    re.compile(r"\bNone\b|frozenset|<|>"),
    re.compile(r"\b(?!nous|vous)(\w{3,}) \1\b"),
]
CHARMS = {"de": re.compile(r"\b(du|dein\w*|dir)\b"), "fr": re.compile(r"\b(tu|ton|tes)\b")}
"""How a customer is not spoken to."""


@cache
def told(code: str) -> tuple[Heard, ...]:
    return tuple(replace(each, names=named(each.names.catalogue, code)) for each in heard())


def texts(code: str) -> Iterator[str]:
    for each in told(code):
        yield from sentences(each)
        yield from phrases(each)


@pytest.mark.parametrize("code", TRANSLATED)
def test_there_is_much_to_read_and_it_is_not_english(code: str) -> None:
    said = set(texts(code))
    english = {text for each in heard() for text in (*sentences(each), *phrases(each))}
    assert len(said) >= 250
    assert said & english == set()


@pytest.mark.parametrize("code", TRANSLATED)
@pytest.mark.parametrize("flaw", FLAWS, ids=lambda flaw: flaw.pattern)
def test_no_text_has_this_flaw(code: str, flaw: re.Pattern[str]) -> None:
    assert {text for text in texts(code) if flaw.search(text)} == set()


@pytest.mark.parametrize("code", TRANSLATED)
def test_sentences_are_whole_and_short(code: str) -> None:
    for each in told(code):
        for text in sentences(each):
            assert text.endswith((".", "?")), text
            assert text[0].isupper(), text
            assert [part for part in END.split(text) if len(part.split()) > MOST_WORDS] == []


@pytest.mark.parametrize("code", CHARMS)
def test_customers_are_spoken_to_politely(code: str) -> None:
    assert {text for text in texts(code) if CHARMS[code].search(text)} == set()


@pytest.mark.parametrize("code", TRANSLATED)
def test_whole_answers_are_tidy(code: str) -> None:
    for each in told(code):
        text = whole(each)
        assert text.endswith(".\n")
        assert not re.search(r"[{}]| $|\n{3}|[^ ]  [^ -]", text, re.MULTILINE), (each.name, text)


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_demos_answers_hold_no_english(code: str) -> None:
    """The demo's catalogue translates its own names, so that nothing is left."""
    demos = [each for each in told(code) if each.name.startswith("demo/")]
    assert len(demos) >= 20
    for each in demos:
        for text in (*sentences(each), *phrases(each)):
            assert not ENGLISH.search(QUOTED.sub("", text)), text


@pytest.mark.parametrize("code", TRANSLATED)
def test_the_demos_diary_is_told(code: str) -> None:
    names = named(read_catalogue(demo_catalogue()), code)
    for draft in demo_events():
        text = event_text(draft.kind, draft.data, names)
        assert text.endswith(".")
        assert text[0].isupper()
        assert not any(flaw.search(text) for flaw in FLAWS), text
