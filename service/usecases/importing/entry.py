"""What a line of a file comes to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from service.files.rows import Flaw
from service.usecases.intake.told import Path, Told


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A line that could be read."""

    line: int
    content: Mapping[str, Any]
    """What it says, for its mark: the same whatever the catalogue and the style of writing."""
    told: tuple[Told, ...]
    """Its events, in order: all of them or none."""
    columns: Mapping[Path, str]
    """From a place in the events to the column that it came from."""
    flaws: tuple[Flaw, ...] = ()
    """What is wrong with it by itself: it will be refused, and what else is wrong is told with it."""
    number: int | None = None
    """The number that it had in the ledger that it comes from."""
    recorded_at: datetime | None = None
    """When that ledger recorded it. Such an event is history: it is taken word for word."""
