"""The marks, the bands at the edges of cards, and the cut in a line that does not hold.

Each mark has an outline and a sign of its own, so that it is known without its colour.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from service.pictures.content import Mark
from service.pictures.marking import amount, element, filled, stroked
from service.pictures.palette import LIGHT, OF_MARK, Ink
from service.pictures.shapes import Sign

TICK = "M.28 .52L.44 .68L.73 .34"
CROSS = "M.34 .34L.66 .66M.66 .34L.34 .66"
CALL = "M.5 .24L.5 .56M.5 .72L.5 .74"
ASK = "M.36 .4C.36 .2 .66 .2 .66 .4C.66 .52 .5 .5 .5 .62M.5 .75L.5 .77"
"""Strokes in a square of size 1."""

BANDS: Mapping[Mark, dict[str, Any] | None] = {
    Mark.IN_ORDER: filled(Ink.GOOD),
    Mark.AS_MADE: {**filled(Ink.PAPER), **stroked(Ink.GOOD, 1.5)},
    Mark.TO_DO: {"fill": "url(#boardfit-bars)"},
    Mark.IN_THE_WAY: {"fill": "url(#boardfit-hatch)"},
    Mark.NOT_KNOWN: {"fill": "url(#boardfit-dots)"},
    Mark.EMPTY: None,
}


def patterns() -> Iterator[str]:
    """Hatching, bars and dots. They are the same in every picture, and so are their names."""
    start = '<pattern id="boardfit-{}" width="{}" height="{}" patternUnits="userSpaceOnUse"{}>'
    yield "<defs>"
    yield start.format("bars", 10, 8, "")
    yield element("rect", width=10, height=4, **filled(Ink.DO))
    yield "</pattern>"
    yield start.format("hatch", 8, 8, ' patternTransform="rotate(45)"')
    yield element("rect", width=5, height=8, **filled(Ink.BAD))
    yield "</pattern>"
    yield start.format("dots", 5, 5, "")
    yield element("circle", cx=2.5, cy=2.5, r=1.6, **filled(Ink.OPEN))
    yield "</pattern>"
    yield "</defs>"


def fill(ink: Ink) -> str:
    """The attributes of a text's colour."""
    return f'class="bf-f-{ink}" fill="{LIGHT[ink]}"'


def sign(shape: Sign) -> Iterator[str]:
    """A mark."""
    ink = OF_MARK[shape.mark]
    yield f'<g transform="translate({amount(shape.x)} {amount(shape.y)}) scale({amount(shape.size)})">'
    match shape.mark:
        case Mark.IN_ORDER:
            yield element("circle", cx=".5", cy=".5", r=".48", **filled(ink))
            yield _strokes(TICK, Ink.PAPER)
        case Mark.AS_MADE:
            yield element("circle", cx=".5", cy=".5", r=".44", **filled(Ink.PAPER), **_outline(ink))
            yield _strokes(TICK, ink)
        case Mark.TO_DO:
            yield element("rect", x=".06", y=".06", width=".88", height=".88", rx=".12", **filled(ink))
            yield _strokes(CALL, Ink.PAPER)
        case Mark.IN_THE_WAY:
            yield element("path", d="M.3 .02H.7L.98 .3V.7L.7 .98H.3L.02 .7V.3Z", **filled(ink))
            yield _strokes(CROSS, Ink.PAPER)
        case Mark.NOT_KNOWN:
            dash = {"stroke_dasharray": ".16 .1"}
            yield element("circle", cx=".5", cy=".5", r=".44", **filled(Ink.PAPER), **_outline(ink), **dash)
            yield _strokes(ASK, ink)
        case Mark.EMPTY:
            square = {"x": ".1", "y": ".1", "width": ".8", "height": ".8"}
            yield element("rect", **square, **filled(Ink.PAPER), **_outline(ink), stroke_dasharray=".08 .1")
    yield "</g>"


def _outline(ink: Ink) -> dict[str, Any]:
    return {**stroked(ink, 0), "stroke_width": ".08"}


def _strokes(path: str, ink: Ink) -> str:
    ends = {"stroke_width": ".12", "stroke_linecap": "round", "stroke_linejoin": "round"}
    return element("path", d=path, fill="none", **{**stroked(ink, 0), **ends})


def cut(line: Sequence[tuple[float, float]], ink: Ink) -> Iterator[str]:
    """A gap in the middle of the longest stretch of a line, between two bars."""
    (x1, y1), (x2, y2) = max(
        pairwise(line), key=lambda ends: abs(ends[0][0] - ends[1][0] + ends[0][1] - ends[1][1])
    )
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    along, across = (4, 14) if y1 == y2 else (14, 4)
    yield element("rect", x=x - along / 2, y=y - across / 2, width=along, height=across, **filled(Ink.PAPER))
    for side in (-1, 1):
        if y1 == y2:
            path = f"M{amount(x + side * 3)} {amount(y - 7)}v14"
        else:
            path = f"M{amount(x - 7)} {amount(y + side * 3)}h14"
        yield element("path", d=path, fill="none", **stroked(ink, 2.5))
