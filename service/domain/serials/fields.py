"""The named fields of a serial scheme, and the values that their texts have."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from service.domain.serials.check import DIGITS, CheckSystem

Value = int | str
"""What one field says: a number (year, week, sequence …) or a text (code)."""

Values = frozenset[Value]
"""All that one text may say. Empty: the text cannot stand in that field."""


class FieldKind(StrEnum):
    """What a field of a serial is. Closed."""

    TEXT = "text"
    CODE = "code"
    YEAR = "year"
    MONTH = "month"
    WEEK = "week"
    WEEKDAY = "weekday"
    DAY = "day"
    SEQUENCE = "sequence"
    CHECK = "check"


def _itself(text: str) -> Values:
    return frozenset((text,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Which check system a check field follows, and the fields it runs over, in that order."""

    system: CheckSystem
    over: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One run of characters in a serial.

    INVARIANT: a field is closed (`readings` lists every text that it can be) or open (any text of
    `least` to `most` of its `characters`); texts, years, months, weeks and days are closed.
    """

    name: str
    kind: FieldKind
    least: int
    most: int
    """Length in characters, both inclusive."""
    characters: str
    """What can stand in it; for a sequence in the order of its digits, zero first."""
    readings: Mapping[str, Values] | None = field(default=None, hash=False)
    first: int = 0
    last: int | None = None
    """For a sequence: its bounds, both inclusive; None is unbounded."""
    check: Check | None = None

    def reader(self) -> Callable[[str], Values | None]:
        """From a text to all that it may say here; empty or None where it cannot stand here.

        The text has a length and characters that the field allows.
        """
        if self.readings is not None:
            return self.readings.get
        return self._bounded if self.kind is FieldKind.SEQUENCE else _itself

    def _bounded(self, text: str) -> Values | None:
        number = self.number(text)
        if number < self.first or (self.last is not None and number > self.last):
            return None
        return frozenset((number,))

    def number(self, text: str) -> int:
        """The number that a sequence's text writes, in as many digits as it has `characters`."""
        if self.characters == DIGITS:
            return int(text)
        total = 0
        for character in text:
            total = total * len(self.characters) + self.characters.index(character)
        return total

    def digits(self, number: int) -> str:
        """How a sequence writes a number, in at least `least` characters and more where it needs them."""
        text = ""
        while number > 0:
            number, digit = divmod(number, len(self.characters))
            text = self.characters[digit] + text
        return text.rjust(self.least, self.characters[0])

    def greatest(self, length: int) -> int:
        """The greatest number that a sequence of that length can have."""
        written: int = len(self.characters) ** length - 1
        return written if self.last is None else min(written, self.last)

    def positions(self, length: int) -> tuple[frozenset[str], ...]:
        """The characters that can stand at each position of a text of that length."""
        if self.readings is None:
            return (frozenset(self.characters),) * length
        texts = [text for text in self.readings if len(text) == length]
        return tuple(frozenset(column) for column in zip(*texts, strict=True))
