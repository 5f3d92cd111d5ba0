"""Everything in a picture has room: on the sheet, in its card, and beside everything else."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from itertools import pairwise

import pytest

from service.pictures.content import Mark, Pair, Tie
from service.pictures.layout import MARGIN, WIDTH, laid_out
from service.pictures.shapes import Area, Arrow, Chip, Frame, Line, Rule, Shape, Sheet, Sign, Text
from tests.pictures.shown import all_pictures, crowded, sheets

STROKE = 4.0
"""The thickest line."""


def area_of(shape: Shape) -> Area:
    match shape:
        case Text() | Frame() | Chip() | Sign() | Arrow():
            return shape.area
        case Rule(x=x, y=y, width=width):
            return Area(x=x, y=y, width=width, height=1)
        case Line(points=points):
            xs, ys = zip(*points, strict=True)
            return Area(x=min(xs), y=min(ys), width=max(xs) - min(xs), height=max(ys) - min(ys))


def stretches(line: Line) -> Iterator[Area]:
    """The pieces of a line, each as wide as its stroke."""
    for (x1, y1), (x2, y2) in pairwise(line.points):
        x, y = min(x1, x2) - STROKE / 2, min(y1, y2) - STROKE / 2
        yield Area(x=x, y=y, width=abs(x1 - x2) + STROKE, height=abs(y1 - y2) + STROKE)


class Near:
    """Shapes by where they are, so that each is held against its neighbours alone."""

    def __init__(self, shapes: Iterable[Shape]) -> None:
        self.found = sorted(((area_of(shape), shape) for shape in shapes), key=lambda each: each[0].y)
        self.tops = [area.y for area, _ in self.found]
        self.tallest = max((area.height for area, _ in self.found), default=0.0)

    def meeting(self, area: Area) -> Iterator[Shape]:
        """Those that have room in common with an area."""
        first = bisect_left(self.tops, area.y - self.tallest)
        for other, shape in self.found[first : bisect_right(self.tops, area.bottom)]:
            if other.meets(area):
                yield shape


def faults(sheet: Sheet) -> Iterator[str]:
    """What has no room."""
    paper = Area(x=0, y=0, width=sheet.width, height=sheet.height)
    yield from (f"off the sheet: {each}" for each in sheet.shapes if not paper.holds(area_of(each)))
    for kind in (Text, Frame, Chip, Sign, Arrow):
        alike = [shape for shape in sheet.shapes if isinstance(shape, kind)]
        near = Near(alike)
        for one in alike:
            yield from (f"{one} on {two}" for two in near.meeting(area_of(one)) if two is not one)
    texts = Near(shape for shape in sheet.shapes if isinstance(shape, Text))
    yield from (f"in the margin: {each}" for area, each in texts.found if not _within_margins(area))
    yield from _sticking_out(sheet)
    yield from _crossed(sheet, texts)


def _within_margins(area: Area) -> bool:
    return area.x >= MARGIN - 0.01 and area.right <= WIDTH - MARGIN + 0.01


def _sticking_out(sheet: Sheet) -> Iterator[str]:
    """What begins in a card or chip ends in it."""
    boxes = Near(shape for shape in sheet.shapes if isinstance(shape, (Frame, Chip)))
    for shape in sheet.shapes:
        if isinstance(shape, (Text, Chip, Sign)):
            area = area_of(shape)
            start = Area(x=area.x + 1, y=area.y + 1, width=1, height=1)
            around = (box for box in boxes.meeting(start) if box is not shape)
            yield from (f"out of its box: {shape}" for box in around if not area_of(box).holds(area))


def _crossed(sheet: Sheet, texts: Near) -> Iterator[str]:
    """No line, arrow or sign stands on a text."""
    for shape in sheet.shapes:
        if isinstance(shape, (Line, Arrow, Sign)):
            pieces = list(stretches(shape)) if isinstance(shape, Line) else [shape.area]
            yield from (f"{shape} crosses {text}" for piece in pieces for text in texts.meeting(piece))


def test_everything_has_room() -> None:
    assert len(sheets()) >= 180
    assert {name: found for name, sheet in sheets() if (found := list(faults(sheet)))} == {}


@pytest.mark.deep
def test_everything_has_room_in_every_language() -> None:
    found = {name: list(faults(laid_out(picture))) for name, picture in all_pictures()}
    assert len(found) >= 700
    assert {name: told for name, told in found.items() if told} == {}


def test_what_has_none_is_found() -> None:
    """Each of these is a fault."""
    text = Text(x=40, y=60, text="some words", size=16)
    frame = Frame(area=Area(x=30, y=30, width=60, height=60), mark=None)
    sign = Sign(x=60, y=40, size=26, mark=Mark.EMPTY)
    across = Line(points=((0, 55), (300, 55)), of=Tie.SAME)
    for shapes in (
        (Text(x=800, y=60, text="some words", size=16),),
        (Text(x=40, y=5, text="some words", size=16),),
        (text, Text(x=60, y=66, text="others", size=16)),
        (frame, text),
        (text, sign),
        (text, across),
        (frame, Frame(area=Area(x=80, y=80, width=60, height=60), mark=None)),
    ):
        assert list(faults(Sheet(width=WIDTH, height=200, shapes=shapes))), shapes


def test_the_crowded_pictures_are_crowded() -> None:
    """Sixteen boards, several pairs, long words: the odd sizes are among them."""
    (_, at_once), (_, wordy) = crowded("")[1], crowded("", wordy=True)[1]
    assert sum(row.after is not None for row in at_once.rows) == 16
    assert sum(row.after is not None and row.after.pair is not None for row in at_once.rows) == 3
    assert len(wordy.aloud) > 1.3 * len(at_once.aloud)
    pairs = {shape.of for _, sheet in sheets() for shape in sheet.shapes if isinstance(shape, Line)}
    assert pairs >= {*Tie, *Pair, None}


def test_nothing_is_set_small() -> None:
    """At the width of the view box no text is below 14, and none is below a sixtieth of it."""
    sizes = {shape.size for _, sheet in sheets() for shape in sheet.shapes if isinstance(shape, Text)}
    assert min(sizes) >= 14
    assert min(sizes) / WIDTH >= 1 / 60
