"""What a board's events say at the till: whether it was ever in use, and which check it was sold by."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from service.domain.ledger.event import Event, EventKind

IN_USE = frozenset(
    {
        EventKind.FITTED,
        EventKind.REMOVED,
        EventKind.FOUND,
        EventKind.STEP_STARTED,
        EventKind.STEP_FINISHED,
        EventKind.STEP_FAILED,
        EventKind.EXPOSED,
        EventKind.SOLD,
        EventKind.RETURNED,
    }
)
"""After one of these a board is not sold as new. A unit registered with its boards has them in use too."""


def was_out(events: Sequence[Event]) -> bool:
    """Whether the board of these events was in use, worked on, or in other hands."""
    return any(event.kind in IN_USE or _fitted_by_factory(event) for event in standing(events))


def sold_by(events: Sequence[Event], check: str) -> Event | None:
    """The sale that completed a check; None while it is open, or where the sale was withdrawn."""
    sales = (event for event in standing(events) if event.kind == EventKind.SOLD)
    return next((event for event in sales if event.data.get("check") == check), None)


def standing(events: Sequence[Event]) -> Iterable[Event]:
    """The events that no correction withdrew."""
    withdrawn = {event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED}
    return (event for event in events if event.seq not in withdrawn)


def _fitted_by_factory(event: Event) -> bool:
    return event.kind == EventKind.REGISTERED and "unit" in event.data
