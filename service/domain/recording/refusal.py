"""What is held against an event, as values."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from service.domain.ledger.event import Draft, Event, EventKind
from service.domain.ledger.fold import States

Told = Draft | Event
"""What somebody wants recorded, or what was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """An event that would be right. What only a person can say is left out: a reason, the evidence."""

    kind: EventKind
    data: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One reason why an event may not be recorded."""

    code: str
    """One of `legality.CODES`, which may grow."""
    facts: Mapping[str, str]
    """What stands against it: serials, places, numbers of events, models (several are apart by a blank)."""
    instead: tuple[Instead, ...] = ()
    """What to record first, in this order; the event itself may be right after it."""


Judge = Callable[[States, Told], tuple[Refusal, ...]]
"""What is held against an event, given the states that it meets."""
