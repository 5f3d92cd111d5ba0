"""Writing rows: CSV that a spreadsheet may open, or NDJSON; and files that are whole or not there."""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO

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


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write, there under its name when the block ended well; until then one before it stays."""
    unfinished = path.parent / f"{path.name}.part"
    try:
        with unfinished.open("wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


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
