"""Text to plain data that knows its lines: YAML without the parts of it that surprise or attack.

Left out are anchors, aliases and tags, with which a small text can become a huge document or code, and
keys that are not plain words. The size, the depth and the count of values are bounded.
"""

from __future__ import annotations

from typing import Any, Final, NoReturn

import yaml

from service.papers.faults import Report
from service.papers.places import Path, PlacedList, PlacedMap
from service.papers.plain import plain

MOST_BYTES: Final = 8_000_000
MOST_DEPTH: Final = 12
MOST_VALUES: Final = 800_000
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Unreadable(Exception):
    """The text cannot be read to its end; the fault is already in the report."""


def parse(text: str | bytes, report: Report) -> object:
    """The document as dicts, lists, str, int, bool, date, None and `Bare`.

    Raises `Unreadable` after a fault that ends the reading; a duplicate key is a fault that does not.
    """
    return _Builder(_readable(text, report), report).build()


def _readable(text: str | bytes, report: Report) -> bytes:
    """The text as UTF-8 of a bounded size."""
    try:
        # A byte order mark is put before a file by some editors and is no part of the text.
        raw = (text.encode() if isinstance(text, str) else text).removeprefix(b"\xef\xbb\xbf")
        raw.decode()
    except UnicodeError as error:
        report.add_at(_line(error), "not_utf8", (), "something here is not text in UTF-8")
        raise Unreadable from error
    if len(raw) > MOST_BYTES:
        report.add_at(1, "too_big", (), f"the file has {len(raw):,} bytes, the most is {MOST_BYTES:,}")
        raise Unreadable
    return raw


def _line(error: UnicodeError) -> int:
    """The line of the first byte or character that is no text."""
    match error:
        case UnicodeEncodeError(object=str(before), start=start):
            return before.count("\n", 0, start) + 1
        case UnicodeDecodeError(object=bytes(raw), start=start):
            return raw.count(b"\n", 0, start) + 1
    return 1


class _Builder:
    """Builds the data out of the parser's events, so that a bound is met before the memory is spent."""

    def __init__(self, raw: bytes, report: Report) -> None:
        self.raw = raw
        self.report = report
        self.root: object = None
        self.stack: list[PlacedMap | PlacedList] = []
        self.steps: list[str | int] = []
        """For each open container but the root, the key or position at which it stands."""
        self.keys: list[str | None] = []
        """For each open mapping the key that waits for its value; always None for a list."""
        self.values = 0
        self.spoiled = False
        """Whether something was left out, so that what was built is not what was written."""

    def build(self) -> object:
        documents = 0
        try:
            for event in yaml.parse(self.raw, Loader=_LOADER):
                documents += isinstance(event, yaml.DocumentStartEvent)
                if documents > 1:
                    self._stop("several_documents", event, "a second document begins here")
                self._take(event)
        except yaml.YAMLError as error:
            self._unreadable(error)
        if self.spoiled:
            raise Unreadable
        return self.root

    def _take(self, event: Any) -> None:
        if isinstance(event, yaml.ScalarEvent):
            self._refuse_extras(event)
            self._scalar(event.value, event, quoted=bool(event.style))
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._refuse_extras(event)
            self._open(event)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self._close()
        elif isinstance(event, yaml.AliasEvent):
            self._spoil("alias", event, f"*{event.anchor} repeats another place")
            self._scalar(str(event.anchor), event, quoted=True)

    def _refuse_extras(self, event: Any) -> None:
        if event.anchor is not None:
            self._spoil("alias", event, f"&{event.anchor} names this place for repeating")
        if event.tag is not None:
            self._spoil("tag", event, f"the tag {event.tag[:60]} has no place here")
        self.values += 1
        if self.values > MOST_VALUES:
            self._stop("too_big", event, f"there are more than {MOST_VALUES:,} values")

    def _open(self, event: Any) -> None:
        line = event.start_mark.line + 1
        if len(self.stack) >= MOST_DEPTH:
            self._stop("too_deep", event, f"values are nested more than {MOST_DEPTH} deep")
        if self._awaits_key():
            self._stop("bad_key", event, "a key is a list or a mapping")
        made = PlacedMap(line) if isinstance(event, yaml.MappingStartEvent) else PlacedList(line)
        self.steps += self._here()[len(self.steps) :]
        self._put(made, line)
        self.stack.append(made)
        self.keys.append(None)

    def _close(self) -> None:
        self.stack.pop()
        self.keys.pop()
        del self.steps[max(0, len(self.stack) - 1) :]

    def _awaits_key(self) -> bool:
        return bool(self.stack) and isinstance(self.stack[-1], PlacedMap) and self.keys[-1] is None

    def _scalar(self, text: str, event: Any, *, quoted: bool) -> None:
        line = event.start_mark.line + 1
        if self._awaits_key():
            self._key(text, line)
        else:
            self._put(text if quoted else plain(text), line)

    def _key(self, key: str, line: int) -> None:
        lines = self.stack[-1].lines
        assert isinstance(lines, dict)
        self.keys[-1] = key
        if key in lines:
            told = f"{key[:80]} is written a second time, the first is in line {lines[key]}"
            self.report.add_at(line, "duplicate_key", self._here(), told)
        else:
            lines[key] = line

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

    def _here(self) -> Path:
        """The path of the value that comes next, or of the mapping whose key does."""
        inside = self.stack[-1] if self.stack else None
        step = (
            len(inside) if isinstance(inside, PlacedList) else self.keys[-1] if inside is not None else None
        )
        return tuple(self.steps) if step is None else (*self.steps, step)

    def _spoil(self, code: str, event: Any, message: str) -> None:
        """Note a fault after which the text is read to its end and the document is not looked at."""
        self.report.add_at(event.start_mark.line + 1, code, self._here(), message)
        self.spoiled = True

    def _stop(self, code: str, event: Any, message: str) -> NoReturn:
        self.report.add_at(event.start_mark.line + 1, code, self._here(), message)
        raise Unreadable

    def _unreadable(self, error: yaml.YAMLError) -> NoReturn:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or getattr(error, "reason", None) or "it is not YAML"
        # A character that YAML forbids is told by its position in the bytes, everything else by a line.
        position = getattr(error, "position", 0)
        line = mark.line + 1 if mark is not None else self.raw.count(b"\n", 0, position) + 1
        self.report.add_at(line, "unreadable", (), f"the text cannot be read from here on ({problem})")
        raise Unreadable from error
