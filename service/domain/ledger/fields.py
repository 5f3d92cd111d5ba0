"""Field tables: the schema of an event's data as plain values, and the faults of data against it.

A table also says whom an event speaks of: every field of type BOARD or UNIT names a subject.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any, NamedTuple

from service.domain.ledger.event import Subject, SubjectKind
from service.domain.terms import Serial

MAX_NAME = 64
"""Characters in a serial, a number or an identifier."""
MAX_TEXT = 500
MAX_ITEMS = 64
"""Entries in a list; a unit has far fewer places."""
MAX_WHOLE = 2**31 - 1


class FieldType(StrEnum):
    """What a field may hold."""

    BOARD = "board"
    """A board serial, compacted: a subject of the event."""
    UNIT = "unit"
    """A unit serial, compacted: a subject of the event."""
    SERIAL = "serial"
    """A serial that the event mentions without speaking of its bearer; may be empty for "none"."""
    NAME = "name"
    """An identifier of the catalogue or a part number."""
    TEXT = "text"
    CHOICE = "choice"
    WHOLE = "whole"
    """A whole number from 0."""
    FLAG = "flag"
    DAY = "day"
    """A calendar day, `2024-05-01`."""
    BLOCK = "block"
    LIST = "list"
    """A list of blocks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """One field of a table."""

    type: FieldType
    required: bool = False
    choices: tuple[str, ...] = ()
    of: Mapping[str, Field] | None = None
    """The table of a block or of each entry of a list."""


FieldTable = Mapping[str, Field]


class Fault(NamedTuple):
    """One thing wrong with an event's data."""

    path: tuple[str | int, ...]
    code: str
    """`missing`, `unknown_field`, `wrong_type`, `wrong_value`, `too_long`, `not_together`, `exactly_one`."""


def faults(table: FieldTable, data: Mapping[str, Any], path: tuple[str | int, ...] = ()) -> Iterator[Fault]:
    """All faults of `data` against a table, in the order of the data, then what is missing."""
    for name, value in data.items():
        if name in table:
            yield from _value_faults(table[name], value, (*path, name))
        else:
            yield Fault((*path, name), "unknown_field")
    for name, field in table.items():
        if field.required and name not in data:
            yield Fault((*path, name), "missing")


def subjects(table: FieldTable, data: Mapping[str, Any]) -> Iterator[Subject]:
    """The boards and units that valid data names, in the order of the table; a name may come twice."""
    for name, field in table.items():
        if name not in data:
            continue
        match field.type:
            case FieldType.BOARD:
                yield Subject(SubjectKind.BOARD, Serial(data[name]))
            case FieldType.UNIT:
                yield Subject(SubjectKind.UNIT, Serial(data[name]))
            case FieldType.BLOCK if field.of:
                yield from subjects(field.of, data[name])
            case FieldType.LIST if field.of:
                for entry in data[name]:
                    yield from subjects(field.of, entry)


def _value_faults(field: Field, value: object, path: tuple[str | int, ...]) -> Iterator[Fault]:
    match field.type:
        case FieldType.BLOCK | FieldType.LIST:
            yield from _nested_faults(field, value, path)
        case FieldType.FLAG:
            if not isinstance(value, bool):
                yield Fault(path, "wrong_type")
        case FieldType.WHOLE:
            yield from _whole_faults(value, path)
        case _:
            yield from _text_faults(field, value, path)


def _nested_faults(field: Field, value: object, path: tuple[str | int, ...]) -> Iterator[Fault]:
    table = field.of or {}
    if field.type is FieldType.BLOCK and isinstance(value, Mapping):
        yield from faults(table, value, path)
        return
    if field.type is not FieldType.LIST or not isinstance(value, (list, tuple)):
        yield Fault(path, "wrong_type")
        return
    if len(value) > MAX_ITEMS:
        yield Fault(path, "too_long")
        return
    for index, entry in enumerate(value):
        if isinstance(entry, Mapping):
            yield from faults(table, entry, (*path, index))
        else:
            yield Fault((*path, index), "wrong_type")


def _whole_faults(value: object, path: tuple[str | int, ...]) -> Iterator[Fault]:
    if isinstance(value, bool) or not isinstance(value, int):
        yield Fault(path, "wrong_type")
    elif not 0 <= value <= MAX_WHOLE:
        yield Fault(path, "wrong_value")


def _text_faults(field: Field, value: object, path: tuple[str | int, ...]) -> Iterator[Fault]:
    if not isinstance(value, str):
        yield Fault(path, "wrong_type")
    elif len(value) > (MAX_TEXT if field.type is FieldType.TEXT else MAX_NAME):
        yield Fault(path, "too_long")
    elif not _is_good_text(field, value):
        yield Fault(path, "wrong_value")


def _is_good_text(field: Field, value: str) -> bool:
    """Whether a string is fit for its field; what cannot be printed (NUL, lone surrogates) never is."""
    if not value.isprintable():
        return False
    match field.type:
        case FieldType.CHOICE:
            return value in field.choices
        case FieldType.DAY:
            return _is_day(value)
        case FieldType.SERIAL:
            return value == value.strip()
        case _:
            return value == value.strip() != ""


def _is_day(value: str) -> bool:
    try:
        return date.fromisoformat(value).isoformat() == value
    except ValueError:
        return False
