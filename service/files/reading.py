"""Opening a file of either form."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from pathlib import PurePath

from service.files.csv_rows import csv_rows
from service.files.lines import Lines, is_blank
from service.files.ndjson_rows import ndjson_rows
from service.files.rows import Flaw, Form, Naming, Row, Unusable

ENDINGS = {
    ".csv": Form.CSV,
    ".tsv": Form.CSV,
    ".txt": Form.CSV,
    ".ndjson": Form.NDJSON,
    ".jsonl": Form.NDJSON,
}


def form_of_name(name: str) -> Form | None:
    """The form that a file's name tells; None where it tells none."""
    return ENDINGS.get(PurePath(name).suffix.lower())


def rows_of(lines: Lines, form: Form | None, naming: Naming) -> Iterator[Row | Flaw]:
    """The rows of a file. Without a form, a first line that begins with a brace is NDJSON's.

    Raises Unusable for a file that cannot be taken at all.
    """
    first = next((line for line in lines if not is_blank(line)), None)
    if first is None:
        raise Unusable("the file is empty")
    if form is None:
        form = Form.NDJSON if first.text.lstrip().startswith("{") else Form.CSV
    whole = chain([first], lines)
    return csv_rows(whole, naming) if form is Form.CSV else ndjson_rows(whole, naming)
