"""Texts are measured by a wide font, and broken so that every line has room."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.pictures.measuring import Face, text_width, wrapped

WIDTHS = [
    ("i", Face.PLAIN, 0.278),
    ("m", Face.PLAIN, 0.974),
    ("M", Face.BOLD, 0.995),
    ("TBM4122080117X", Face.MONO, 14 * 0.602),
]
"""Read off DejaVu Sans 2.37, DejaVu Sans Bold and DejaVu Sans Mono (table `hmtx`), in ems."""
WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=80)


@pytest.mark.parametrize(("text", "face", "ems"), WIDTHS)
def test_widths_are_those_of_the_font(text: str, face: Face, ems: float) -> None:
    assert text_width(text, 20, face) == pytest.approx(20 * ems)


def test_an_accent_adds_no_width_and_a_mark_of_its_own_has_none() -> None:
    for letter in "éåäöüçñÅÖ":
        apart = unicodedata.normalize("NFD", letter)
        assert text_width(letter, 10) == text_width(apart, 10) == text_width(apart[0], 10)


def test_what_the_tables_do_not_know_is_taken_to_be_wide() -> None:
    assert text_width("\u6728", 10) >= 10
    assert text_width("\u0429", 10, Face.BOLD) >= 13.2, "the widest capital of the font"


@given(WORDS, st.floats(60, 400), st.sampled_from(Face))
def test_no_line_is_wider_and_nothing_is_lost(text: str, width: float, face: Face) -> None:
    lines = wrapped(text, width, 16, face)
    assert all(text_width(line, 16, face) <= width + 1e-6 for line in lines)
    assert squeezed("".join(lines)) == squeezed(text)


def squeezed(text: str) -> str:
    """Without what a line may be broken at."""
    return text.translate(dict.fromkeys(map(ord, " \t\n")))


def test_a_space_that_does_not_break_holds_its_words_together() -> None:
    one, two = wrapped("Son mod\u00e8le\u00a0: Plover", text_width("Son mod\u00e8le\u00a0:", 16), 16)
    assert (one, two) == ("Son mod\u00e8le\u00a0:", "Plover")
