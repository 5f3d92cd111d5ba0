"""What a picture shows, in words: no coordinate and no colour yet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Mark(StrEnum):
    """How a board stands in its place; each has a shape of its own."""

    IN_ORDER = "in_order"
    AS_MADE = "as_made"
    """Nothing is recorded of it, and it is taken to be as the factory made it."""
    TO_DO = "to_do"
    """It fits, and something has to be done with it."""
    IN_THE_WAY = "in_the_way"
    NOT_KNOWN = "not_known"
    EMPTY = "empty"


class Tie(StrEnum):
    """Whether a board is programmed for the machine's model; each has a line of its own."""

    SAME = "same"
    OTHER = "other"
    OPEN = "open"
    """Blank, or not known for which model."""


class Pair(StrEnum):
    """Whether a board that follows is introduced to the one that names the model."""

    INTRODUCED = "introduced"
    NOT_INTRODUCED = "not_introduced"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One board in its place."""

    name: str
    mark: Mark
    state: str
    """The same in words, behind what happens to it: "goes in, stands in the way"."""
    serial: str = ""
    chip: str = ""
    """The model that it is programmed for, in a word; empty for a board that takes on none."""
    facts: tuple[str, ...] = ()
    """Sentences."""
    tie: Tie | None = None
    names: bool = False
    """It names the model: the others of its column are introduced to it."""
    pair: Pair | None = None
    """How it stands to the board of its column that names the model."""
    proposed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One place before and after; a picture of a machine as it is has no after."""

    before: Card | None = None
    after: Card | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Some sentences under a title."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """A caution behind its signal word."""

    signal: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One line of the legend."""

    of: Mark | Tie | Pair
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Everything that is to be seen, from top to bottom."""

    language: str
    title: str
    name: str
    """The machine's, as its owner calls it."""
    machine: str
    """Names the box that stands for the machine."""
    identity: tuple[str, ...]
    """Sentences about the machine itself."""
    chip: str
    """Its model in a word."""
    tie: Tie
    """How that is framed: `SAME` where it is known."""
    mark: Mark
    headline: str
    summary: str
    held: str = ""
    columns: tuple[str, ...]
    """Headings: one for a machine as it is, two for before and after."""
    rows: tuple[Row, ...]
    others_title: str
    others: tuple[Card, ...]
    sections: tuple[Section, ...]
    cautions: str
    """The title of what follows."""
    warned: tuple[Warned, ...]
    legend: str
    keys: tuple[Key, ...]
    footer: str
    aloud: str
    """All of it in sentences."""
