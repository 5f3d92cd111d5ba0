"""Where a value stands in a catalogue file: its path and its line."""

from __future__ import annotations

import re
from typing import Any

Path = tuple[str | int, ...]
"""From the document's root: keys of mappings and positions in lists."""

_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]{1,64}\Z")


class PlacedMap(dict[str, Any]):
    """A mapping that knows the line of each of its keys."""

    __slots__ = ("line", "lines")

    def __init__(self, line: int) -> None:
        super().__init__()
        self.line = line
        self.lines: dict[str, int] = {}


class PlacedList(list[Any]):
    """A list that knows the line of each of its items."""

    __slots__ = ("line", "lines")

    def __init__(self, line: int) -> None:
        super().__init__()
        self.line = line
        self.lines: list[int] = []


def line_of(root: object, path: Path, line: int) -> int:
    """The line of the value at `path`, or of the nearest around it; `line` where none is known."""
    line = getattr(root, "line", line)
    for step in path:
        if isinstance(root, PlacedMap) and step in root:
            line = root.lines[str(step)]
        elif isinstance(root, PlacedList) and isinstance(step, int) and step < len(root):
            line = root.lines[step]
        else:
            break
        root = root[step]  # type: ignore[index]  # the step was looked at above
    return int(line)


def write_path(path: Path) -> str:
    """The path as text: `parts[3].fits[0].models[1]`; a key with other characters stands in quotes."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        elif _PLAIN_KEY.match(step):
            text += f".{step}" if text else step
        else:
            text += f"[{step[:64]!r}]"
    return text
