"""What a value of the document must look like: a small language of shapes, each of which reads one value.

Reading a value gives the value in its own type (a price as `Decimal`, a date as `date`), or `BAD` with a
fault in the report. Nothing is guessed: a number where a text belongs is a fault, as "1.10" and 1.1 differ.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import Enum, StrEnum
from typing import Any, Final, Protocol

from service.papers.faults import Report
from service.papers.places import Path
from service.papers.yaml_text import Bare


class Bad(Enum):
    """The value of what could not be read."""

    BAD = "bad"


BAD: Final = Bad.BAD


class Kind(StrEnum):
    """What a name in the document can name. The value is what people call it."""

    MARKET = "market"
    FEATURE = "feature"
    ACCESSORY = "accessory"
    ROLE = "role"
    CAPABILITY = "capability"
    FAMILY = "family"
    MODEL = "model"
    PART = "part"


@dataclass(frozen=True, slots=True)
class Context:
    """What reading goes by: where faults go, and which names the document defines.

    `known` is None for a kind whose section cannot be read: then no name of it is called unknown.
    """

    report: Report
    known: Mapping[Kind, frozenset[str] | None]


class Shape(Protocol):
    """Reads one value: its own type, or `BAD` with a fault in the report."""

    def read(self, value: object, path: Path, context: Context) -> Any: ...


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
            return fault(context, "too_long", path, told, "shorten it")
        if any(unicodedata.category(character)[0] == "C" for character in text):
            return fault(context, "wrong_value", path, "the text holds a control character", "write it on one line")
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
            return wrong(context, path, value, "a whole number", "write digits alone, without quotes or a unit")
        if not self.least <= value <= self.most:
            told = f"{value} is not within {self.least:,} and {self.most:,}"
            return fault(context, "out_of_range", path, told, "look for a slip of the pen or a wrong unit")
        return value


@dataclass(frozen=True, slots=True)
class Flag:
    """True or false."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        return value if isinstance(value, bool) else wrong(context, path, value, "true or false", "write true or false")


_MONEY = re.compile(r"[0-9]{1,9}(\.[0-9]{1,4})?\Z")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the catalogue's currency: a decimal number in quotes, never a binary fraction."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, str) and _MONEY.match(value):
            return Decimal(value)
        if isinstance(value, (Bare, int)) and not isinstance(value, bool):
            return wrong(context, path, value, "an amount in quotes", _quote(value))
        say = 'write the number alone, in quotes, with a point: "129.00"; the currency is stated once, at the top'
        return wrong(context, path, value, "an amount in quotes", say)


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
        return wrong(context, path, value, "one of a few words", context.report.suggest(str(value), self.words))


@dataclass(frozen=True, slots=True)
class Ref:
    """A name that the document defines elsewhere."""

    kind: Kind

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, str):
            return wrong(context, path, value, f"the name of a {self.kind}", _quote(value))
        known = context.known[self.kind]
        if known is not None and value not in known:
            told = f"there is no {self.kind} {shown(value)}"
            return fault(context, f"unknown_{self.kind}", path, told, context.report.suggest(value, known))
        return value


@dataclass(frozen=True, slots=True)
class Many:
    """A list. An item that cannot be read stays as `BAD`, so that positions keep their meaning."""

    item: Shape
    least: int = 0
    most: int = 5_000
    once: bool = True
    """Whether an item may stand there only once."""

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, list):
            return wrong(context, path, value, "a list", "write the items in brackets: [a, b]")
        if not self.least <= len(value) <= self.most:
            told = f"the list has {len(value):,} items"
            say = f"write {self.least}" if self.least == self.most else f"write {self.least} to {self.most:,}"
            return fault(context, "wrong_count", path, told, say)
        items = [self.item.read(item, (*path, place), context) for place, item in enumerate(value)]
        if self.once:
            self._repeated(items, path, context)
        return items

    def _repeated(self, items: list[Any], path: Path, context: Context) -> None:
        seen: set[object] = set()
        for place, item in enumerate(items):
            if item is not BAD and isinstance(item, str):
                if item in seen:
                    fault(context, "repeated", (*path, place), f"{shown(item)} stands there twice", "take one out")
                seen.add(item)


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping whose keys are names: ones it defines (`Slug`), or ones defined elsewhere (`Ref`)."""

    key: Shape
    value: Shape
    least: int = 0
    most: int = 500

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, dict):
            return wrong(context, path, value, "a mapping", "write lines of the form name: value")
        if not self.least <= len(value) <= self.most:
            told = f"there are {len(value):,} entries"
            return fault(context, "wrong_count", path, told, f"write {self.least} to {self.most:,}")
        read: dict[str, Any] = {}
        for key, inner in value.items():
            place = (*path, str(key))
            self.key.read(key, place, context)
            read[str(key)] = self.value.read(inner, place, context)
        return read


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a record: required, unless it has a default (which is not read, and may be None)."""

    shape: Shape
    required: bool = True
    default: Any = None


@dataclass(frozen=True, slots=True)
class Record:
    """A mapping with known fields. Reading gives all of them; one that is missing or `BAD` has its default."""

    entries: Mapping[str, Entry]
    what: str
    names: frozenset[str] = field(init=False, default=frozenset())

    def __post_init__(self) -> None:
        object.__setattr__(self, "names", frozenset(self.entries))

    def read(self, value: object, path: Path, context: Context) -> Any:
        if not isinstance(value, dict):
            return wrong(context, path, value, f"a mapping ({self.what})", "write fields of the form name: value")
        for name in value:
            if name not in self.names:
                told = f"{shown(str(name))} is no field of {self.what}"
                fault(context, "unknown_field", (*path, str(name)), told, context.report.suggest(str(name), self.names))
        return {name: self._field(name, entry, value, path, context) for name, entry in self.entries.items()}

    def _field(self, name: str, entry: Entry, value: dict[str, Any], path: Path, context: Context) -> Any:
        if name in value:
            read = entry.shape.read(value[name], (*path, name), context)
            return entry.default if read is BAD else read
        if entry.required:
            fault(context, "missing_field", path, f"{self.what} lacks {name}", f"write {name}: and its value")
        return entry.default


def needed(shape: Shape) -> Entry:
    return Entry(shape)


def optional(shape: Shape, default: Any = None) -> Entry:
    return Entry(shape, required=False, default=default)


def fault(context: Context, code: str, path: Path, message: str, mend: str) -> Bad:
    context.report.add(code, path, message, mend)
    return BAD


def wrong(context: Context, path: Path, value: object, wanted: str, mend: str) -> Bad:
    """A value of another type than is wanted here."""
    return fault(context, "wrong_type", path, f"{shown(value)} stands where {wanted} belongs", mend)


def shown(value: object) -> str:
    """A value as a message shows it: short, and in the file's own words."""
    match value:
        case None:
            return "nothing"
        case bool():
            return str(value).lower()
        case dict():
            return "a mapping"
        case list():
            return "a list"
        case Bare(text):
            return text[:60]
        case _:
            return str(value)[:60] or "an empty text"


def _quote(value: object) -> str:
    if value is None or isinstance(value, (dict, list)):
        return "write a text"
    return f'put it in quotes: "{shown(value)}"'
