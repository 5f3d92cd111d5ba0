"""The colours of a picture, for light and dark surroundings, and which of them meet.

Nothing rests on them: shapes, lines, hatching and words say it all. They meet WCAG 2.2 (1.4.3: 4.5 to 1 for
text, 1.4.11: 3 to 1 for graphics), which a test works out for each pair in `TEXTS` and `GRAPHICS`.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum

from service.pictures.content import Mark


class Ink(StrEnum):
    """What a colour is for."""

    PAPER = "paper"
    CARD = "card"
    TEXT = "text"
    QUIET = "quiet"
    """Less important text."""
    LINE = "line"
    """Frames and connections."""
    GOOD = "good"
    DO = "do"
    BAD = "bad"
    OPEN = "open"


LIGHT: Mapping[Ink, str] = {
    Ink.PAPER: "#ffffff",
    Ink.CARD: "#f4f5f1",
    Ink.TEXT: "#1d211c",
    Ink.QUIET: "#4c5449",
    Ink.LINE: "#5d6659",
    Ink.GOOD: "#1c6b45",
    Ink.DO: "#8a5200",
    Ink.BAD: "#9c2335",
    Ink.OPEN: "#4a4f96",
}
DARK: Mapping[Ink, str] = {
    Ink.PAPER: "#161a16",
    Ink.CARD: "#222722",
    Ink.TEXT: "#f0f2ec",
    Ink.QUIET: "#c3cabd",
    Ink.LINE: "#9aa394",
    Ink.GOOD: "#74cf9f",
    Ink.DO: "#f0b35a",
    Ink.BAD: "#ff98a3",
    Ink.OPEN: "#b3b8ff",
}

OF_MARK: Mapping[Mark, Ink] = {
    Mark.IN_ORDER: Ink.GOOD,
    Mark.AS_MADE: Ink.GOOD,
    Mark.TO_DO: Ink.DO,
    Mark.IN_THE_WAY: Ink.BAD,
    Mark.NOT_KNOWN: Ink.OPEN,
    Mark.EMPTY: Ink.LINE,
}

GROUNDS = (Ink.PAPER, Ink.CARD)
TEXTS = tuple((ink, ground) for ink in (Ink.TEXT, Ink.QUIET) for ground in GROUNDS)
"""Text and what it stands on."""
GRAPHICS = (
    *((ink, ground) for ink in (Ink.LINE, Ink.GOOD, Ink.DO, Ink.BAD, Ink.OPEN) for ground in GROUNDS),
    (Ink.PAPER, Ink.GOOD),
    (Ink.PAPER, Ink.DO),
    (Ink.PAPER, Ink.BAD),
)
"""Marks, frames and lines and what they stand on; signs and what they are cut out of."""
