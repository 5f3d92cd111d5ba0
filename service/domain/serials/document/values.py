"""Plain values of a scheme's document, each read by a function that raises `Wrong`."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Mapping, Sequence

from service.domain.serials.check import ALPHANUMERIC, DIGITS, LETTERS
from service.domain.serials.document.faults import Wrong, choice, shown

LONGEST_SERIAL = 64
MOST_LISTED = 1_000
"""The most entries of any list in a scheme."""
LONGEST_NAME = 200
LONGEST_ID = 64

_NAMED = {"digits": DIGITS, "letters": LETTERS, "alphanumeric": ALPHANUMERIC}
_SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_FIELD_NAME = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")
_SERIAL = re.compile(r"[0-9A-Z*]+")


def mapping(value: object) -> Mapping[object, object]:
    if not isinstance(value, Mapping):
        raise Wrong(f"{shown(value)} is not a mapping", "write it as keys and values")
    return value


def listed(value: object) -> Sequence[object]:
    """A list of one to `MOST_LISTED` entries."""
    if not isinstance(value, (list, tuple)):
        raise Wrong(f"{shown(value)} is not a list", "write it as a list, also when it has one entry")
    if not 1 <= len(value) <= MOST_LISTED:
        raise Wrong(f"the list has {len(value)} entries", f"give 1 to {MOST_LISTED} entries")
    return value


def text(value: object, longest: int = LONGEST_NAME) -> str:
    """Text for people: one line, not empty."""
    if not isinstance(value, str):
        raise Wrong(f"{shown(value)} is not text", "write it in quotes")
    if not value.strip() or len(value) > longest or not value.isprintable():
        raise Wrong(f"{shown(value)} is no name", f"write one line of 1 to {longest} printable characters")
    return value


def slug(value: object) -> str:
    """An identifier such as `tillmoor-unit`."""
    if not _SLUG.fullmatch(text(value, LONGEST_ID)):
        raise Wrong(
            f"{shown(value)} is no identifier", "use lower-case letters and digits, joined by single dashes"
        )
    return str(value)


def field_name(value: object) -> str:
    """The name of a field such as `product` or `made_in`."""
    if not _FIELD_NAME.fullmatch(text(value, LONGEST_ID)):
        raise Wrong(
            f"{shown(value)} is no field name",
            "use lower-case letters and digits, joined by single underscores, a letter first",
        )
    return str(value)


def serial_text(value: object) -> str:
    """Characters of a serial, as they stand in its compact form."""
    if not isinstance(value, str):
        raise Wrong(f"{shown(value)} is not text", "write it in quotes, so that leading zeros stay")
    if len(value) > LONGEST_SERIAL or not _SERIAL.fullmatch(value):
        raise Wrong(
            f"{shown(value)} cannot stand in a serial",
            f"use 1 to {LONGEST_SERIAL} upper-case letters and digits, without spaces and dashes",
        )
    return value


def characters(value: object) -> str:
    """An alphabet: two or more characters, each once; or the name of a usual one."""
    if isinstance(value, str) and value in _NAMED:
        return _NAMED[value]
    found = serial_text(value)
    if len(set(found)) != len(found) or len(found) < 2:
        raise Wrong(
            f"{shown(value)} is no alphabet",
            f"use {', '.join(_NAMED)}, or list two or more characters, each once",
        )
    return found


def yes_or_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise Wrong(f"{shown(value)} is neither true nor false", "write true or false, without quotes")
    return value


def number(least: int, most: int) -> Callable[[object], int]:
    """A reader of whole numbers within bounds, both inclusive."""

    def read(value: object) -> int:
        if not isinstance(value, int) or isinstance(value, bool):
            raise Wrong(f"{shown(value)} is not a whole number", "write a whole number, without quotes")
        if not least <= value <= most:
            raise Wrong(f"{shown(value)} is out of bounds", f"write a number from {least} to {most}")
        return value

    return read


def one_of(choices: Collection[str]) -> Callable[[object], str]:
    """A reader of one of a few words."""

    def read(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise Wrong(f"{shown(value)} is not known here", f"use one of {choice(choices)}")
        return value

    return read


def distinct(entries: Sequence[str]) -> Sequence[str]:
    """The same entries, none of which may stand twice."""
    twice = [entry for entry, count in Counter(entries).items() if count > 1]
    if twice:
        raise Wrong(f"{shown(twice[0])} stands twice", "list each once")
    return entries


def span(value: object, read: Callable[[object], int]) -> tuple[int, int]:
    """A number, or a list of the least and the most."""
    if not isinstance(value, (list, tuple)):
        return read(value), read(value)
    if len(value) != 2 or read(value[0]) > read(value[1]):
        raise Wrong("these are not two bounds", "write one number, or a list of the least and the most")
    return read(value[0]), read(value[1])
