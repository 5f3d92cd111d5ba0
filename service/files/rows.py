"""What a file's lines come to: rows, and flaws of single lines that cost nothing but themselves."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import StrEnum
from typing import Any, NamedTuple


class Form(StrEnum):
    """How a file is written. Closed."""

    CSV = "csv"
    """Comma-separated values (RFC 4180); semicolons and tabs are read as well."""
    NDJSON = "ndjson"
    """A JSON object on each line."""


class Row(NamedTuple):
    """One row: what it tells, by column; what is empty is left out."""

    line: int
    """The line on which it begins, from 1."""
    values: Mapping[str, Any]


class Flaw(NamedTuple):
    """One thing wrong with a line, or with one of its columns."""

    line: int
    column: str
    """Empty where the line as a whole cannot be read."""
    reason: str
    """What is wrong and how to mend it."""


class Unusable(Exception):
    """A file that cannot be taken at all, whatever its rows: the message says how to mend it."""


Naming = Callable[[Sequence[str]], Sequence[str]]
"""From the names that a file gives its columns to those that are meant, in the same order; an empty one
stays empty. Raises Unusable."""
