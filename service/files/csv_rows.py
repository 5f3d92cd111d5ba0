"""Reading CSV: RFC 4180, with commas, semicolons or tabs between the cells."""

from __future__ import annotations

import csv
import re
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

from service.files.lines import Line, is_blank
from service.files.rows import Flaw, Naming, Row, Unusable

DELIMITERS = (",", ";", "\t")
"""The more cells one of them makes of the header the better; the first of equals."""

MAX_SPAN = 64
"""Lines that one record may run over. A quotation mark that never closes would swallow the file."""

_UNQUOTED = "its quotation marks do not pair up: put the field in quotation marks and double those inside it"
_TOLD = {
    "field larger": f"a field is longer than {csv.field_size_limit():,} characters",
    "new-line": "a carriage return stands inside it: end lines with a line feed, or with both",
}
"""Words of the csv module's errors, and what to say instead; all others are about quotation marks."""

_STRAYS = str.maketrans("", "", "\r\n")
_ESCAPED = re.compile(r"'+[=+\-@]")


def csv_rows(lines: Iterable[Line], naming: Naming) -> Iterator[Row | Flaw]:
    """The rows below the header, the first line that is not blank. Raises Unusable where that is bad."""
    remaining = iter(lines)
    header = next((line for line in remaining if not is_blank(line)), None)
    if header is None:
        raise Unusable("the file is empty: begin it with a line of column names")
    delimiter = delimiter_of(header.text)
    records = _records(chain([header], remaining), delimiter)
    names = naming([cell.strip() for cell in _header(next(records))])
    return _rows(records, names)


def delimiter_of(header: str) -> str:
    """What stands between the cells of a header."""
    line = header.translate(_STRAYS)
    return max(DELIMITERS, key=lambda each: len(next(csv.reader([line], delimiter=each), [])))


def unescaped(text: str) -> str:
    """A cell as it was meant: less the apostrophe that keeps a spreadsheet from working it out."""
    return text[1:] if text.startswith("'") and _ESCAPED.match(text) else text


def _header(found: tuple[int, list[str]] | Flaw) -> list[str]:
    if isinstance(found, Flaw):
        raise Unusable(f"the header, line {found.line}: {found.reason}")
    return found[1]


def _rows(records: Iterable[tuple[int, list[str]] | Flaw], names: Sequence[str]) -> Iterator[Row | Flaw]:
    width, last = len(names), max((at for at, name in enumerate(names, 1) if name), default=0)
    for record in records:
        if isinstance(record, Flaw):
            yield record
            continue
        line, cells = record
        values = {
            name: unescaped(text) for name, cell in zip(names, cells, strict=False) if (text := cell.strip())
        }
        if "" in values or any(cells[width:]):
            yield Flaw(line, "", "has a cell below no column name: name the column, or clear the cell")
        elif len(cells) < last:
            yield Flaw(
                line, "", f"has {len(cells)} of {width} cells: it breaks off, or a delimiter is missing"
            )
        elif values:
            yield Row(line, values)


class _Unclosed(Exception):
    """A record that goes on for too many lines."""


class _Feed:
    """The lines that the csv module asks for, and those that it took for the record under way."""

    def __init__(self, lines: Iterator[Line]) -> None:
        self._lines = lines
        self._again: deque[Line] = deque()
        self.taken: list[Line] = []

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        if len(self.taken) == MAX_SPAN:
            raise _Unclosed
        line = self._again.popleft() if self._again else next(self._lines)
        self.taken.append(line)
        return line.text

    def give_back(self) -> None:
        """Have all but the first line of a bad record read again: they may be good ones."""
        self._again.extendleft(reversed(self.taken[1:]))


def _records(lines: Iterator[Line], delimiter: str) -> Iterator[tuple[int, list[str]] | Flaw]:
    """Each record with the line on which it begins; blank lines are none."""
    feed = _Feed(lines)
    reader = csv.reader(feed, delimiter=delimiter, strict=True)
    while True:
        feed.taken.clear()
        try:
            cells = next(reader)
        except StopIteration:
            return
        except (csv.Error, _Unclosed) as error:
            yield Flaw(feed.taken[0].number, "", _reason(str(error)))
            feed.give_back()
            continue
        flawed = next((line for line in feed.taken if line.flaw), None)
        if flawed is not None:
            yield Flaw(flawed.number, "", flawed.flaw)
        elif cells:
            yield feed.taken[0].number, cells


def _reason(error: str) -> str:
    return next((told for words, told in _TOLD.items() if words in error), _UNQUOTED)
