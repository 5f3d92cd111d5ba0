"""A fault of a catalogue file: what is wrong, where, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from service.papers.codes import MENDS
from service.papers.places import Path, line_of, write_path

MOST_FAULTS = 5_000
"""More are not reported: a file with so many has one cause that the first ones show."""
MOST_SUGGESTIONS = 300
"""Looking for a similar name among thousands is slow, and past this number nobody reads them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault. `code` is for programs, the rest for the person who wrote the file."""

    code: str
    line: int
    """Counted from 1; 0 where the document did not come from a text with lines."""
    path: str
    """Like `parts[3].fits[0].models[1]`, counted from 0; empty for the whole document."""
    message: str
    mend: str

    def __str__(self) -> str:
        where = f"line {self.line}, {self.path}" if self.path else f"line {self.line}"
        return f"{where}: {self.message}: {self.mend}"


class CatalogueFaults(ValueError):
    """A catalogue that is refused, with all its faults in the order of their lines."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class Report:
    """Collects the faults of one document; `root` is set as soon as the document is read."""

    def __init__(self, first_line: int = 1) -> None:
        self.root: object = None
        self._first_line = first_line
        self._faults: list[Fault] = []
        self._suggested: dict[tuple[str, frozenset[str]], str] = {}

    def __bool__(self) -> bool:
        return bool(self._faults)

    def add(self, code: str, path: Path, message: str, mend: str = "") -> None:
        """Note a fault of the value at `path`; `mend` where more can be said than for all such faults."""
        self.add_at(line_of(self.root, path, self._first_line), code, path, message, mend)

    def add_at(self, line: int, code: str, path: Path, message: str, mend: str = "") -> None:
        """Note a fault whose line is known while the document is not yet whole."""
        if len(self._faults) < MOST_FAULTS:
            said = mend or MENDS[code]
            self._faults.append(
                Fault(code=code, line=line, path=write_path(path), message=message, mend=said)
            )

    def faults(self) -> list[Fault]:
        """All of them, in the order of the lines, each once."""
        return sorted(dict.fromkeys(self._faults), key=lambda fault: (fault.line, fault.path, fault.code))

    def suggest(self, wrong: str, right: Iterable[str]) -> str:
        """How to mend a name that is not among the right ones: the closest of them, or a few."""
        names = right if isinstance(right, frozenset) else frozenset(right)
        key = (wrong, names)
        if key not in self._suggested:
            if len(self._suggested) >= MOST_SUGGESTIONS:
                return "use one that this file defines"
            self._suggested[key] = _suggestion(wrong[:80], names)
        return self._suggested[key]


def _suggestion(wrong: str, names: frozenset[str]) -> str:
    if close := get_close_matches(wrong, sorted(names), n=1, cutoff=0.6):
        return f"did you mean {close[0]}?"
    if not names:
        return "there are none in this file: define it first"
    shown = sorted(names)[:8]
    return f"use one of {', '.join(shown)}{', …' if len(names) > len(shown) else ''}"
