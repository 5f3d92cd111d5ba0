"""Paragraphs, chips and cards: what the parts of a picture are made of."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.pictures.content import Card, Tie
from service.pictures.measuring import Face, text_width, wrapped
from service.pictures.palette import Ink
from service.pictures.shapes import Area, Chip, Frame, Line, Shape, Sign, Text

PAD = 12.0
GAP = 16.0
BAND = 10.0
"""The hatched band at the left edge of a card."""
SIGN = 26.0
LEADING = 1.36
"""From one base line to the next, in sizes."""
NAME, FACT, STATE = 17.0, 15.0, 14.0


def paragraph(
    text: str,
    x: float,
    y: float,
    width: float,
    size: float,
    face: Face = Face.PLAIN,
    ink: Ink = Ink.TEXT,
) -> tuple[list[Shape], float]:
    """The lines of a text from `y` down, and where the next one begins."""
    lines = wrapped(text, width, size, face)
    shapes: list[Shape] = [
        Text(x=x, y=y + at * LEADING * size + size, text=line, size=size, face=face, ink=ink)
        for at, line in enumerate(lines)
    ]
    return shapes, y + len(lines) * LEADING * size


def chip(text: str, x: float, y: float, width: float, tie: Tie | None) -> tuple[list[Shape], float]:
    """The name of a model in its own frame, and where it ends."""
    inside = 16.0
    lines, below = paragraph(text, x + inside, y + 5, width - 2 * inside, FACT, Face.BOLD)
    widest = max(text_width(each.text, FACT, Face.BOLD) for each in lines if isinstance(each, Text))
    area = Area(x=x, y=y, width=widest + 2 * inside, height=below + 4 - y)
    return [Chip(area=area, tie=tie), *lines], area.bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A card with its contents, placed at the origin."""

    card: Card
    width: float
    height: float
    shapes: tuple[Shape, ...]


def card_box(card: Card, width: float) -> Box:
    """A card that is so wide, and as high as it takes."""
    x, room = BAND + PAD, width - BAND - 2 * PAD
    head = x + SIGN + PAD - 2
    shapes: list[Shape] = [Sign(x=x, y=PAD, size=SIGN, mark=card.mark)]
    lines, y = paragraph(card.name, head, PAD - 2, width - head - PAD, NAME, Face.BOLD)
    shapes += lines
    lines, y = paragraph(card.state, head, y, width - head - PAD, STATE, ink=Ink.QUIET)
    shapes += lines
    y = max(y, PAD + SIGN) + 6
    if card.chip:
        tag, y = chip(card.chip, x, y, room, card.tie)
        shapes += tag
        y += 6
    if card.serial:
        lines, y = paragraph(card.serial, x, y, room, FACT, Face.MONO)
        shapes += lines
        y += 3
    for sentence in card.facts:
        lines, y = paragraph(sentence, x, y, room, FACT)
        shapes += lines
        y += 3
    return Box(card=card, width=width, height=y + PAD - 3, shapes=tuple(shapes))


def placed_card(box: Box, x: float, y: float, height: float) -> list[Shape]:
    """A card in its place, as high as its neighbours."""
    area = Area(x=x, y=y, width=box.width, height=height)
    frame = Frame(area=area, mark=box.card.mark, strong=box.card.proposed)
    return [frame, *(_moved(shape, x, y) for shape in box.shapes)]


def _moved(shape: Shape, x: float, y: float) -> Shape:
    match shape:
        case Text() | Sign():
            return replace(shape, x=shape.x + x, y=shape.y + y)
        case Chip():
            return replace(shape, area=replace(shape.area, x=shape.area.x + x, y=shape.area.y + y))
        case _:
            assert not isinstance(shape, Line), "a card holds no line"
            return shape
