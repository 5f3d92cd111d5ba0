"""A file's bytes as numbered lines of text. One that is no text, or too long, costs itself alone."""

from __future__ import annotations

import codecs
from collections.abc import Iterator
from typing import BinaryIO, NamedTuple

from service.files.rows import Unusable

MAX_LINE = 1 << 20
"""Bytes. A line of any of our files has some hundreds."""

_OTHER_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_STRAYS = str.maketrans("", "", "\r\n")


class Line(NamedTuple):
    """One line, its end included."""

    number: int
    text: str
    flaw: str = ""
    """Why it cannot be read; `text` is empty then."""


class Lines:
    """The lines of a binary stream, one after the other.

    Nothing is read ahead by more than one line, and no more than MAX_LINE bytes are held of any.
    Raises Unusable where the file is in another encoding from its first byte.
    """

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._number = 0
        self.consumed = 0
        """Bytes that were read so far."""

    def __iter__(self) -> Iterator[Line]:
        return self

    def __next__(self) -> Line:
        raw = self._stream.readline(MAX_LINE)
        if not raw:
            raise StopIteration
        start, self._number = self.consumed, self._number + 1
        self.consumed += len(raw)
        if len(raw) == MAX_LINE and not raw.endswith(b"\n"):
            self._skip()
            return Line(self._number, "", f"is longer than {MAX_LINE:,} bytes")
        return _decoded(self._number, raw, start)

    def _skip(self) -> None:
        """Read on to the end of a line that is too long."""
        while raw := self._stream.readline(MAX_LINE):
            self.consumed += len(raw)
            if raw.endswith(b"\n"):
                return


def is_blank(line: Line) -> bool:
    """Whether nothing at all stands on it."""
    return not line.flaw and not line.text.translate(_STRAYS).strip()


def _decoded(number: int, raw: bytes, start: int) -> Line:
    if number == 1:
        if raw.startswith(_OTHER_MARKS):
            raise Unusable("the file is encoded in UTF-16: save it in UTF-8")
        marked = len(raw)
        raw = raw.removeprefix(codecs.BOM_UTF8)
        start += marked - len(raw)
    try:
        return Line(number, raw.decode("utf-8"))
    except UnicodeDecodeError as error:
        place = f"byte {start + error.start + 1:,} of the file, {error.start + 1:,} of the line"
        return Line(number, "", f"{place}, is not UTF-8: save the file in UTF-8")
