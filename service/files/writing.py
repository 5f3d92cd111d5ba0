"""Writing rows: CSV that a spreadsheet may open, or NDJSON."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import orjson

from service.files.rows import Form

_WORKED_OUT = re.compile(r"'*[=+\-@]")
"""What a spreadsheet takes for a formula, and what looks as if it were escaped already."""


def escaped(text: str) -> str:
    """A cell that no spreadsheet works out: an apostrophe stands before what would be a formula.

    Reading takes it off again (`csv_rows.unescaped`), so that every text comes back as it was.
    """
    return f"'{text}" if _WORKED_OUT.match(text) else text


def encoded(rows: Iterable[Mapping[str, Any]], columns: Sequence[str], form: Form) -> Iterator[bytes]:
    """The rows as bytes of a file, its header first; a row may leave columns out."""
    if form is Form.CSV:
        yield _csv_line(columns)
        for row in rows:
            yield _csv_line([_cell(row.get(column)) for column in columns])
    else:
        for row in rows:
            yield orjson.dumps({name: row[name] for name in columns if name in row}) + b"\n"


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case str():
            return escaped(value)
        case bool():
            return "yes" if value else "no"
        case int():
            return str(value)
        case _:
            return orjson.dumps(value).decode()


def _csv_line(cells: Iterable[str]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerow(cells)
    return text.getvalue().encode("utf-8")
