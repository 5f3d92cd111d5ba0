"""What the clients have seen: one entry for each request, and everything that should not have been."""

from __future__ import annotations

import re
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from tests.endurance.asking import Answer

UNANSWERED = 0
"""Instead of a status: the connection broke or the client lost patience."""
AWAY = 503
TOLD_AT_MOST = 20
REVISION = re.compile(rb"r-[0-9a-f]{16}")


class Entry(NamedTuple):
    """One request."""

    at: float
    """Seconds since the load began, at the end of the request."""
    kind: str
    status: int
    seconds: float


@dataclass(slots=True)
class Seen:
    """Shared by all clients; appending is safe among threads."""

    began: float = field(default_factory=time.monotonic)
    entries: list[Entry] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    first: dict[tuple[str, str, object, object], bytes] = field(default_factory=dict)
    """The first answer to each question whose answer stands fast."""

    def since(self) -> float:
        """Seconds since the load began."""
        return time.monotonic() - self.began

    def note(self, kind: str, status: int, seconds: float) -> None:
        self.entries.append(Entry(self.since(), kind, status, seconds))

    def blame(self, what: str) -> None:
        """Something is wrong."""
        self.wrong.append(what)

    def compare(self, question: tuple[str, str, object, object], answer: Answer) -> None:
        """An answer that stands fast, with the first one to the same question, whatever the revision."""
        told = REVISION.sub(b"", answer.body)
        if self.first.setdefault(question, told) != told:
            self.blame(f"{question[:2]} is answered otherwise than at first")

    def statuses(self) -> Counter[int]:
        return Counter(entry.status for entry in self.entries)

    def told_wrong(self) -> Sequence[str]:
        """What was wrong, as far as anybody reads on."""
        more = len(self.wrong) - TOLD_AT_MOST
        return [*self.wrong[:TOLD_AT_MOST], *([f"and {more:,} more"] if more > 0 else [])]
