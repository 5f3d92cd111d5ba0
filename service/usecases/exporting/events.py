"""An event as a line of a file: as the feed gives it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from service.domain.ledger.event import Event
from service.store.engine import Transaction
from service.store.ledger import events_after


def event_rows(connection: Transaction) -> Iterator[dict[str, Any]]:
    """Every event, in the order of the ledger."""
    events = events_after(connection, 0)
    while events:
        yield from map(_row, events)
        events = events_after(connection, events[-1].seq)


def _row(event: Event) -> dict[str, Any]:
    return {
        "seq": event.seq,
        "kind": event.kind,
        "occurred_at": _moment(event.occurred_at),
        "recorded_at": _moment(event.recorded_at),
        "data": event.data,
    }


def _moment(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat().replace("+00:00", "Z")
