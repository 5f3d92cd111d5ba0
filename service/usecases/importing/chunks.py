"""The lines of a file in chunks, each for one transaction."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from service.files.rows import Flaw, Row
from service.usecases.importing.entry import Entry
from service.usecases.importing.history import points_at
from service.usecases.importing.source import Source

CHUNK = 1_000
"""Lines in one transaction: others who write wait for a fraction of a second at a time."""

Line = Entry | Sequence[Flaw]
"""A line that could be read, or all that is wrong with one that could not."""


def chunks_of(source: Source, rows: Iterable[Row | Flaw]) -> Iterator[list[Line]]:
    """The lines, CHUNK at a time or fewer."""
    chunk: list[Line] = []
    order = _Order()
    for row in rows:
        line = [row] if isinstance(row, Flaw) else order.checked(source.entry(row))
        if chunk and (len(chunk) == CHUNK or order.refers_into(line)):
            yield chunk
            chunk = []
            order.begin()
        chunk.append(line)
    if chunk:
        yield chunk


class _Order:
    """The numbers that events of a file have: rising, and referred to only when they stand here."""

    def __init__(self) -> None:
        self._first = 0
        self._last = 0

    def checked(self, line: Line) -> Line:
        """The line, or what is wrong with its number."""
        if not isinstance(line, Entry) or line.number is None:
            return line
        if line.number <= self._last:
            mend = f"comes after {self._last}: leave the lines of an export in their order"
            return [Flaw(line.line, "seq", f"{line.number} {mend}")]
        self._last = line.number
        self._first = self._first or line.number
        return line

    def refers_into(self, line: Line) -> bool:
        """Whether a line refers to one of the chunk under way, which has no number here yet."""
        return isinstance(line, Entry) and 0 < self._first <= points_at(line)

    def begin(self) -> None:
        """A new chunk begins with the line at hand."""
        self._first = self._last
