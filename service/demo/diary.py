"""Writing down what happened in the shop, event by event, at times of its own making."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any, Final

from service.domain.ledger.event import Draft
from service.domain.terms import Serial

FIRST_DAY: Final = datetime(2025, 3, 3, 8, tzinfo=UTC)
"""A Monday. The demo's time stands still, so that its answers are the same on every day."""
EVENTS_A_DAY: Final = 16
POLICIES: Final = {"main": "names", "panel": "follows"}

Block = dict[str, Any]


def at(place: str) -> Block:
    """A place (`main`, `bumper.left`) as events name it."""
    role, _, name = place.partition(".")
    block = {"role": role, "policy": POLICIES.get(role, "free")}
    return {**block, "place": name} if name else block


def bound(model: str, holds: Serial | None = None) -> Block:
    """What is read from a bound board; `holds` where it is one that holds a unit's serial."""
    block = {"binding": "bound", "bound_model": model}
    return block if holds is None else {**block, "holds": holds}


class Diary:
    """The events in their order. Each comes half an hour after the one before it, on working days."""

    def __init__(self) -> None:
        self.drafts: list[Draft] = []

    def note(self, kind: str, **data: Any) -> None:
        """Write an event down."""
        day, slot = divmod(len(self.drafts), EVENTS_A_DAY)
        moment = FIRST_DAY + timedelta(days=day // 5 * 7 + day % 5, minutes=30 * slot)
        self.drafts.append(Draft(kind=kind, occurred_at=moment, data=data))

    def registered(self, unit: Serial, model: str, market: str = "mainland", **more: Any) -> None:
        self.note("registered", unit=unit, model=model, market=market, **more)

    def received(self, board: Serial, part: str, **reading: Any) -> None:
        self.note("received", board=board, part=part, **reading)

    def removed(self, board: Serial, unit: Serial, place: str) -> None:
        self.note("removed", board=board, unit=unit, **at(place))

    def fitted(self, board: Serial, unit: Serial, place: str, model: str) -> None:
        self.note("fitted", board=board, unit=unit, model=model, **at(place))

    def tested(self, board: Serial, *, passed: bool = True) -> None:
        self.note("tested", board=board, passed=passed)

    def held(self, reason: str, **subject: Serial) -> None:
        """Place a hold on a `board` or a `unit`."""
        self.note("hold_placed", hold=reason, **subject)
