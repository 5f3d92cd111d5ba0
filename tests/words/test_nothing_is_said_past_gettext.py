"""Every word of an answer goes through gettext, so that another language needs nothing but its catalogue.

A language is made up that puts each text between brackets; what is left outside of all brackets was never
offered for translation.
"""

from __future__ import annotations

from dataclasses import replace
from gettext import NullTranslations

import pytest

from service.words.language import Language
from service.words.names import Names
from tests.words.said import Heard, heard, phrases, sentences, whole


class Bracketed(NullTranslations):
    """A language of brackets."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"


def in_brackets(each: Heard) -> Heard:
    return replace(each, names=Names(each.names.catalogue, Language("xx", Bracketed())))


def outside(text: str) -> str:
    """What stands outside of all brackets."""
    depth, left = 0, ""
    for character in text:
        depth -= character == "⟧"
        left += character if depth == 0 and character not in "⟦⟧" else ""
        depth += character == "⟦"
    assert depth == 0
    return left


def test_sentences_are_texts_with_spaces_between_them() -> None:
    said = {text for each in heard() for text in sentences(in_brackets(each))}
    assert len(said) >= 250
    assert {text for text in said if outside(text).strip()} == set()


def test_phrases_are_texts() -> None:
    said = {text for each in heard() for text in phrases(in_brackets(each))}
    assert {text for text in said if outside(text)} == set()


def test_whole_answers_are_texts_names_and_numbers() -> None:
    """Outside of texts there are signal words, names of capabilities, amounts and marks; no other words."""
    for each in heard():
        names = [c.name for c in each.names.catalogue.capabilities.values()]
        left = outside(whole(in_brackets(each)))
        for known in (*sorted(names, key=len, reverse=True), "DANGER", "WARNING", "CAUTION", "NOTICE"):
            left = left.replace(known, "")
        words = [word for word in left.split() if word.strip("-:;,.()").isalpha()]
        assert words == [], each.name


@pytest.mark.parametrize(("text", "left"), [("⟦a⟧ b ⟦c ⟦d⟧⟧", " b "), ("⟦a⟧", "")])
def test_what_is_outside_is_found(text: str, left: str) -> None:
    assert outside(text) == left
