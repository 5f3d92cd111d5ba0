"""Shapes of single values: texts, numbers, amounts, measures, days, words, and names defined elsewhere."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from service.papers.places import Path
from service.papers.plain import Bare
from service.papers.shapes.context import Context, Kind, fault, shown, wrong


@dataclass(frozen=True, slots=True)
class Text:
    """Text of one line, without blanks around it; `pattern` and `say` where it has a form of its own."""

    most: int = 500
    pattern: re.Pattern[str] | None = None
    say: str = ""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, str):
            return wrong(context, path, value, "text", _quote(value))
        text = value.strip()
        if not text:
            return wrong(context, path, value, "text", "write it, or leave the field out if it may be")
        if len(text) > self.most:
            told = f"the text has {len(text):,} characters, the most is {self.most}"
            return fault(context, "too_long", path, told)
        if any(unicodedata.category(character)[0] == "C" for character in text):
            return fault(context, "wrong_value", path, "the text is not one line", "write it on one line")
        if self.pattern is not None and not self.pattern.match(text):
            return fault(context, "wrong_value", path, f"{shown(text)} has another form", self.say)
        return text


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number within bounds, both inclusive."""

    least: int
    most: int

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, int) or isinstance(value, bool):
            return wrong(context, path, value, "a whole number", "write digits alone, without a unit")
        if not self.least <= value <= self.most:
            told = f"{value} is not within {self.least:,} and {self.most:,}"
            return fault(context, "out_of_range", path, told)
        return value


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, bool):
            return value
        return wrong(context, path, value, "true or false", "write true or false")


_MONEY = re.compile(r"[0-9]{1,9}(\.[0-9]{1,4})?\Z")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the catalogue's currency: a decimal number in quotes, never a binary fraction."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, str) and _MONEY.match(value):
            return Decimal(value)
        if isinstance(value, (Bare, int)) and not isinstance(value, bool):
            return wrong(context, path, value, "an amount in quotes", _quote(value))
        say = 'write the number alone, in quotes: "129.00"; the currency is stated once, at the top'
        return wrong(context, path, value, "an amount in quotes", say)


_PERCENT = re.compile(r"(100|[0-9]{1,2})(\.[0-9]{1,3})?\Z")


@dataclass(frozen=True, slots=True)
class Percent:
    """A rate in percent: a decimal number in quotes, from 0 to 100."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, str) and _PERCENT.match(value) and Decimal(value) <= 100:
            return Decimal(value)
        say = 'write the number alone, in quotes, from 0 to 100: "8.1"'
        return wrong(context, path, value, "a rate in percent, in quotes", say)


_MEASURE = re.compile(r"[0-9]{1,6}(\.[0-9]{1,6})?\Z")


@dataclass(frozen=True, slots=True)
class Measure:
    """A measured number in the unit that its field is named after: a decimal in quotes, above 0."""

    most: int

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, str) or not _MEASURE.match(value):
            bare = isinstance(value, (Bare, int)) and not isinstance(value, bool)
            say = _quote(value) if bare else 'write the number alone, without its unit, in quotes: "4.5"'
            return wrong(context, path, value, "a number in quotes", say)
        number = Decimal(value)
        if not 0 < number <= self.most:
            return fault(context, "out_of_range", path, f"{value} is not above 0 and at most {self.most:,}")
        return number


@dataclass(frozen=True, slots=True)
class Day:
    """A calendar day, ISO 8601."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value if isinstance(value, str) and len(value) == 10 else "")
        except ValueError:
            return wrong(context, path, value, "a day of the calendar", "write year, month, day: 2023-09-04")


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: frozenset[str]

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, str) and value in self.words:
            return value
        mend = context.report.suggest(shown(value), self.words)
        return wrong(context, path, value, "one of a few words", mend)


@dataclass(frozen=True, slots=True)
class Ref:
    """A name that the document defines elsewhere."""

    kind: Kind

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, str):
            return wrong(context, path, value, f"a name ({self.kind})", _quote(value))
        known = context.known[self.kind]
        if known is not None and value not in known:
            told = f"there is no {self.kind} {shown(value)}"
            return fault(context, f"unknown_{self.kind}", path, told, context.report.suggest(value, known))
        return value


def _quote(value: object) -> str:
    if value is None or isinstance(value, (dict, list)):
        return "write a text"
    return f'put it in quotes: "{shown(value)}"'
