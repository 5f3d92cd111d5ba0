"""Contrast by WCAG 2.2: success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (graphics, 3 to 1).

The formulas are those of its definitions of `relative luminance`, with the threshold 0.04045 that it has
since 2021, and `contrast ratio`. The published examples are from memory: the extremes stand in the definition
of the ratio (1 to 21), the greys are told everywhere as the lightest that just passes and the next that
fails, the primaries are the weights of the formula itself (IEC 61966-2-1).
"""

from __future__ import annotations

import pytest

from service.pictures.content import Mark
from service.pictures.palette import DARK, GRAPHICS, LIGHT, OF_MARK, TEXTS, Ink
from service.pictures.shapes import Text
from tests.pictures.shown import sheets

PALETTES = {"light": LIGHT, "dark": DARK}


def channel(value: int) -> float:
    share = value / 255
    return float(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    red, green, blue = (channel(int(colour[at : at + 2], 16)) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#ffffff", "#ffffff", 1.0),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#949494", "#ffffff", 3.03),
        ("#959595", "#ffffff", 2.995),
        ("#ff0000", "#ffffff", 4.0),
        ("#0000ff", "#ffffff", 8.59),
        ("#ffff00", "#ffffff", 1.07),
    ],
)
def test_the_formula_gives_the_published_ratios(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize(("ink", "ground"), TEXTS)
def test_text_stands_out(name: str, ink: Ink, ground: Ink) -> None:
    assert contrast(PALETTES[name][ink], PALETTES[name][ground]) >= 4.5


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize(("ink", "ground"), GRAPHICS)
def test_graphics_stand_out(name: str, ink: Ink, ground: Ink) -> None:
    assert contrast(PALETTES[name][ink], PALETTES[name][ground]) >= 3


def test_every_colour_that_is_drawn_with_was_looked_at() -> None:
    written = {shape.ink for _, sheet in sheets() for shape in sheet.shapes if isinstance(shape, Text)}
    assert written == {ink for ink, _ in TEXTS}
    assert set(OF_MARK) == set(Mark)
    assert {ink for ink, _ in GRAPHICS} >= {*OF_MARK.values(), Ink.LINE}
    assert set(LIGHT) == set(DARK) == set(Ink)
