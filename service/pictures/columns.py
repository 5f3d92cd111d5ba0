"""The boards that take on the machine's model: in one column as they are, or in two, before and after.

At the left of each column a line comes down from the machine and ends at every board; at the right, boards
that were introduced to each other are joined.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.pictures.boxes import GAP, Box, card_box, paragraph, placed_card
from service.pictures.content import Card, Picture
from service.pictures.measuring import Face
from service.pictures.palette import Ink
from service.pictures.shapes import Area, Arrow, Line, Shape

TRUNK = 10.0
"""From the left edge of a column to the line that comes down from the machine."""
GUTTER = 36.0
"""From there to the cards."""
LANE = 12.0
BETWEEN = 44.0
HEADING = 16.0

Placed = tuple[Card, Area]


def rows(picture: Picture, x: float, y: float, width: float) -> tuple[list[Shape], float]:
    """The columns, hanging from the machine's box that ends at `y`, and where they end."""
    columns = len(picture.columns)
    whole = (width - BETWEEN * (columns - 1)) / columns
    starts = [x + at * (whole + BETWEEN) for at in range(columns)]
    sides = [[row.after if at else row.before for row in picture.rows] for at in range(columns)]
    lanes = max(sum(card is not None and card.pair is not None for card in side) for side in sides)
    room = whole - GUTTER - (lanes + 1) * LANE * bool(lanes)
    shapes, top = _headings(picture.columns, starts, y + GAP, room)
    boxes = [[card_box(card, room) if card else None for card in side] for side in sides]
    placed: list[list[Placed]] = [[] for _ in sides]
    for line in zip(*boxes, strict=True):
        height = max(box.height for box in line if box is not None)
        shapes += _row(line, starts, top, height, placed)
        top += height + GAP
    for start, column in zip(starts, placed, strict=True):
        shapes += [*_ties(column, start + TRUNK, y), *_pairs(column)]
    return shapes, top - GAP


def _headings(
    texts: Sequence[str], starts: Sequence[float], y: float, room: float
) -> tuple[list[Shape], float]:
    shapes: list[Shape] = []
    bottom = y
    for text, start in zip(texts, starts, strict=True):
        lines, below = paragraph(text, start + GUTTER, y, room, HEADING, Face.BOLD, Ink.QUIET)
        shapes += lines
        bottom = max(bottom, below)
    return shapes, bottom + 8


def _row(
    line: Sequence[Box | None],
    starts: Sequence[float],
    y: float,
    height: float,
    placed: Sequence[list[Placed]],
) -> Iterator[Shape]:
    for start, box, column in zip(starts, line, placed, strict=True):
        if box is not None:
            area = Area(x=start + GUTTER, y=y, width=box.width, height=height)
            column.append((box.card, area))
            yield from placed_card(box, area.x, y, height)
    if len(starts) > 1 and (box := line[-1]) is not None and box.card.proposed:
        yield Arrow(
            area=Area(x=starts[-1] - BETWEEN + 4, y=y + height / 2 - 12, width=BETWEEN - 8, height=24)
        )


def _ties(column: Sequence[Placed], x: float, y: float) -> Iterator[Shape]:
    """From the machine down to each board that is programmed, or can be."""
    tied = [(card.tie, area) for card, area in column if card.tie is not None]
    if tied:
        last = tied[-1][1]
        yield Line(points=((x, y), (x, last.y + 25)), of=None)
    for tie, area in tied:
        yield Line(points=((x, area.y + 25), (area.x, area.y + 25)), of=tie)


def _pairs(column: Sequence[Placed]) -> Iterator[Shape]:
    """From the board that names the model to each one that follows it, each in a lane of its own."""
    naming = next((area for card, area in column if card.names), None)
    following = [(card.pair, area) for card, area in column if card.pair is not None]
    for at, (pair, area) in enumerate(following if naming is not None else ()):
        assert naming is not None
        lane = area.right + LANE * (at + 1)
        start = naming.bottom - 24 - 8 * at
        end = area.y + 25
        yield Line(points=((naming.right, start), (lane, start), (lane, end), (area.right, end)), of=pair)
