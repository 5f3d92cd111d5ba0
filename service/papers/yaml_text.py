"""Text to plain data that knows its lines: YAML without the parts of it that surprise or attack.

Scalars are read as YAML 1.2's core schema does (`no` and `on` are words, `010` is not eight). Left out
are anchors, aliases and tags, with which a small text can become a huge document or code, and
keys that are not plain words. The size, the depth and the count of values are bounded.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Any, Final, NoReturn

import yaml

from service.papers.faults import Report
from service.papers.places import Path, PlacedList, PlacedMap

MOST_BYTES: Final = 8_000_000
MOST_DEPTH: Final = 12
MOST_VALUES: Final = 800_000
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,17})\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_NUMBER_LIKE = re.compile(r"[-+]?(\.?[0-9][0-9_.,]*([eE][-+]?[0-9]+)?|0[xo][0-9a-fA-F]+|\.(inf|nan))\Z")
_WORDS: Final[dict[str, object]] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bare:
    """A scalar without quotes that looks like a number and is not a whole one: 129.00, 007, 1e3."""

    text: str


class Unreadable(Exception):  # noqa: N818 - it ends the reading; the fault is already in the report
    """The text cannot be read to its end."""


def parse(text: str | bytes, report: Report) -> object:
    """The document as dicts, lists, str, int, bool, date, None and `Bare`.

    Raises `Unreadable` after a fault that ends the reading; a duplicate key is a fault that does not.
    """
    return _Builder(report).build(_readable(text, report))


def _readable(text: str | bytes, report: Report) -> bytes:
    """The text as UTF-8 of a bounded size."""
    try:
        # A byte order mark is put before a file by some editors and is no part of the text.
        raw = (text.encode() if isinstance(text, str) else text).removeprefix(b"\xef\xbb\xbf")
        raw.decode()
    except UnicodeError as error:
        line = error.object[: error.start].count(_newline(text)) + 1 if isinstance(error, _PLACED) else 1
        _stop(report, "not_utf8", line, "there are bytes here that are not UTF-8 text", "save the file as UTF-8")
    if len(raw) > MOST_BYTES:
        told = f"the file has {len(raw):,} bytes, the most is {MOST_BYTES:,}"
        _stop(report, "too_big", 1, told, "split it, or look for something pasted in by mistake")
    return raw


_PLACED = (UnicodeDecodeError, UnicodeEncodeError)


def _newline(text: str | bytes) -> Any:
    return "\n" if isinstance(text, str) else b"\n"


def _stop(report: Report, code: str, line: int, message: str, mend: str, path: Path = ()) -> NoReturn:
    report.add_at(code, line, path, message, mend)
    raise Unreadable


class _Builder:
    """Builds the data out of the parser's events, so that a bound is met before the memory is spent."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self.root: object = None
        self.stack: list[PlacedMap | PlacedList] = []
        self.keys: list[str | None] = []
        """For each open mapping the key that waits for its value; always None for a list."""
        self.values = 0

    def build(self, raw: bytes) -> object:
        documents = 0
        try:
            for event in yaml.parse(raw, Loader=_LOADER):
                documents += isinstance(event, yaml.DocumentStartEvent)
                if documents > 1:
                    self._stop("several_documents", event, "a second document begins here", "take the line --- out")
                self._take(event)
        except yaml.YAMLError as error:
            self._unreadable(error)
        return self.root

    def _take(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._refuse_extras(event)
            self._scalar(event)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._refuse_extras(event)
            self._open(event)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.stack.pop()
            self.keys.pop()
        elif isinstance(event, yaml.AliasEvent):
            self._stop("alias", event, f"*{event.anchor} repeats another place", "write the value out here")

    def _refuse_extras(self, event: Any) -> None:
        if event.anchor is not None:
            self._stop("alias", event, f"&{event.anchor} names this place for repeating", "take the & name out")
        if event.tag is not None:
            self._stop("tag", event, f"the tag {event.tag[:60]} is not for catalogues", "take the tag out")
        self.values += 1
        if self.values > MOST_VALUES:
            self._stop("too_big", event, f"there are more than {MOST_VALUES:,} values", "split the file")

    def _open(self, event: Any) -> None:
        line = event.start_mark.line + 1
        if len(self.stack) >= MOST_DEPTH:
            told = f"values are nested more than {MOST_DEPTH} deep"
            self._stop("too_deep", event, told, "compare the indentation with the format's description")
        is_map = isinstance(event, yaml.MappingStartEvent)
        if self.stack and self._awaits_key():
            self._stop("bad_key", event, "a key is a list or a mapping", "write a plain word before the colon")
        made = PlacedMap(line) if is_map else PlacedList(line)
        self._put(made, line)
        self.stack.append(made)
        self.keys.append(None)

    def _awaits_key(self) -> bool:
        return isinstance(self.stack[-1], PlacedMap) and self.keys[-1] is None

    def _scalar(self, event: Any) -> None:
        line = event.start_mark.line + 1
        if self.stack and self._awaits_key():
            self._key(event, line)
        else:
            self._put(event.value if event.style else plain(event.value), line)

    def _key(self, event: Any, line: int) -> None:
        key, inside = event.value, self.stack[-1]
        assert isinstance(inside, PlacedMap)
        self.keys[-1] = key
        if key in inside.lines:
            told = f"{key[:80]} is written a second time, the first is in line {inside.lines[key]}"
            self.report.add_at("duplicate_key", line, (*self._path(), key), told, "keep one of the two")
            return
        inside.lines[key] = line

    def _put(self, value: object, line: int) -> None:
        if not self.stack:
            self.root = value
            return
        inside = self.stack[-1]
        if isinstance(inside, PlacedList):
            inside.append(value)
            inside.lines.append(line)
            return
        key, self.keys[-1] = self.keys[-1], None
        # The first of two equal keys stands; the second is a fault already and its value is let go.
        inside.setdefault(str(key), value)

    def _path(self) -> Path:
        path: list[str | int] = []
        for outer, inner in zip(self.stack, self.stack[1:], strict=False):
            steps = outer.items() if isinstance(outer, PlacedMap) else enumerate(outer)
            path += [step for step, value in steps if value is inner][:1]
        return tuple(path)

    def _stop(self, code: str, event: Any, message: str, mend: str) -> NoReturn:
        _stop(self.report, code, event.start_mark.line + 1, message, mend, self._path())

    def _unreadable(self, error: yaml.YAMLError) -> NoReturn:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or getattr(error, "reason", None) or "it is not YAML"
        line = mark.line + 1 if mark is not None else 1
        mend = "look at this line and the one before it: indentation, a missing colon, quote or bracket"
        _stop(self.report, "unreadable", line, f"the text cannot be read from here on ({problem})", mend)


def plain(text: str) -> object:
    """A scalar written without quotes: a word, true, false, null, a whole number or a date."""
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.match(text):
        return int(text)
    if _DAY.match(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return Bare(text) if _NUMBER_LIKE.match(text) else text
