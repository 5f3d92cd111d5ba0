"""How far an import has come, and what it tells on the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from service.files.rows import Flaw


@dataclass(slots=True, kw_only=True)
class Tally:
    """Lines, counted by what became of them. A blank line is none."""

    taken: int = 0
    there: int = 0
    """Taken in before, by an earlier run or an equal line of this file."""
    refused: int = 0

    @property
    def read(self) -> int:
        return self.taken + self.there + self.refused

    def add(self, more: Tally) -> None:
        """Count some more lines."""
        self.taken += more.taken
        self.there += more.there
        self.refused += more.refused


class Watcher(Protocol):
    """Who looks on while a file is taken in."""

    def refused(self, flaws: Sequence[Flaw]) -> None:
        """One line was refused, for these reasons."""

    def moved(self, tally: Tally) -> None:
        """Some lines more are done."""

    def stop(self) -> bool:
        """Whether to stop after the lines under way."""
