"""What is drawn, with its place: plain data, in the units of the view box, y downwards."""

from __future__ import annotations

from dataclasses import dataclass

from service.pictures.content import Mark, Pair, Tie
from service.pictures.measuring import Face, text_width
from service.pictures.palette import Ink


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def holds(self, other: Area) -> bool:
        """Whether the other lies inside."""
        across = self.x <= other.x and other.right <= self.right
        return across and self.y <= other.y and other.bottom <= self.bottom

    def meets(self, other: Area) -> bool:
        """Whether the two have more than an edge in common."""
        across = self.x < other.right and other.x < self.right
        return across and self.y < other.bottom and other.y < self.bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text; `y` is its base line."""

    x: float
    y: float
    text: str
    size: float
    face: Face = Face.PLAIN
    ink: Ink = Ink.TEXT

    @property
    def area(self) -> Area:
        """The room that it takes, from the tops of tall letters to the ends of hanging ones."""
        width = text_width(self.text, self.size, self.face)
        return Area(x=self.x, y=self.y - 0.8 * self.size, width=width, height=1.05 * self.size)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The frame of a card: its stroke and the hatched band at its left edge tell its mark."""

    area: Area
    mark: Mark | None
    strong: bool = False
    """For a board that goes in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """The frame around the name of a model: its outline tells whether it is the machine's."""

    area: Area
    tie: Tie | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """A mark, in a square of `size`."""

    x: float
    y: float
    size: float
    mark: Mark

    @property
    def area(self) -> Area:
        return Area(x=self.x, y=self.y, width=self.size, height=self.size)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A connection: from the machine to a board (`Tie`), or between two boards (`Pair`)."""

    points: tuple[tuple[float, float], ...]
    of: Tie | Pair | None
    """None: what the lines to the boards come from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """From before to after."""

    area: Area


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A thin line across, above a part of the picture."""

    x: float
    y: float
    width: float


Shape = Text | Frame | Chip | Sign | Line | Arrow | Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole picture, placed."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
