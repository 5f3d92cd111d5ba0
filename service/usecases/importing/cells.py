"""What a cell may hold, and the value it is read as. CSV has text alone; NDJSON may have more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, time
from typing import Any

from service.domain.ledger.fields import MAX_NAME, MAX_WHOLE
from service.files.ndjson_rows import NotJson, json_value
from service.usecases.mending import hint, shown

Read = Callable[[Any], Any]
"""From what stands in a cell to its value. Raises Misread."""

NONE = "none"
"""The word for "it holds no serial", as opposed to a cell that says nothing."""

_YES = frozenset({"yes", "y", "true", "1"})
_NO = frozenset({"no", "n", "false", "0"})


class Misread(ValueError):
    """A cell that cannot be read. The message says what is wrong and how to mend it."""


def text(value: Any) -> str:
    """A name, a number or a serial, as it is written."""
    if not isinstance(value, str):
        raise Misread("must be text: put it in quotation marks")
    if len(value) > MAX_NAME:
        raise Misread(f"has {len(value):,} characters: at most {MAX_NAME} are taken")
    if not value.isprintable():
        raise Misread("holds a character that cannot be printed: type it again")
    return value


def identifier(value: Any) -> str:
    """The id of a model, a role or a market; it is written in lower case."""
    return text(value).lower()


def holder(value: Any) -> str:
    """The serial of a unit, or the empty string for the word `none`."""
    written = text(value)
    return "" if written.lower() == NONE else written


def one_of(choices: Sequence[str]) -> Read:
    """One of some words, in whatever case, with blanks or dashes for its underscores."""

    def read(value: Any) -> str:
        written = text(value).lower().replace("-", "_").replace(" ", "_")
        if written not in choices:
            raise Misread(f"cannot be {shown(value)}: {hint(written, choices, found_at='the columns')}")
        return written

    return read


def flag(value: Any) -> bool:
    """Yes or no."""
    if isinstance(value, bool):
        return value
    written = str(value).lower()
    if written in _YES or written in _NO:
        return written in _YES
    raise Misread(f"cannot be {shown(str(value))}: write yes or no")


def whole(value: Any) -> int:
    """A whole number from 1."""
    written = str(value)
    if isinstance(value, bool) or not (written.isascii() and written.isdigit()):
        raise Misread(f"cannot be {shown(written)}: write a whole number")
    if len(written) > len(str(MAX_WHOLE)) or not 1 <= int(written) <= MAX_WHOLE:
        raise Misread(f"is not between 1 and {MAX_WHOLE:,}")
    return int(written)


def day(value: Any) -> date:
    """A calendar day."""
    written = text(value)
    try:
        found = date.fromisoformat(written)
    except ValueError:
        found = None
    if found is None or found.isoformat() != written:
        raise Misread(f"is no day {shown(written)}: write it as 2025-03-31")
    return found


def moment(value: Any) -> datetime:
    """A moment with its zone, in UTC. A day alone is its first moment."""
    written = text(value)
    try:
        found = datetime.fromisoformat(written)
    except ValueError:
        raise Misread(f"is no moment {shown(written)}: write it as 2025-03-31T09:30:00Z") from None
    if len(written) == len("2025-03-31"):
        return start_of(found.date())
    if found.tzinfo is None:
        raise Misread(f"tells no time zone, {shown(written)}: add Z for UTC, or the offset")
    try:
        return found.astimezone(UTC)
    except OverflowError:
        raise Misread("lies outside of the calendar") from None


def start_of(moment_day: date) -> datetime:
    """The first moment of a day, UTC."""
    return datetime.combine(moment_day, time(), tzinfo=UTC)


def json_object(value: Any) -> dict[str, Any]:
    """A JSON object, itself or as text."""
    if isinstance(value, str):
        try:
            value = json_value(value)
        except NotJson as error:
            raise Misread(str(error)) from None
    if not isinstance(value, dict):
        raise Misread('must be a JSON object such as {"board": "...", "passed": true}')
    return value


def anything(value: Any) -> Any:
    """What nobody reads."""
    return value
