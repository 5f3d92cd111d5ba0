"""What all shapes share: where faults go, which names there are, and how a value is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import Any, Final, Protocol

from service.papers.faults import Report
from service.papers.places import Path
from service.papers.plain import Bare


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


def fault(context: Context, code: str, path: Path, message: str, mend: str = "") -> Bad:
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
