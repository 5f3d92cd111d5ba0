"""What becomes of the search for a plan."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from enum import StrEnum


class PlanOutcome(StrEnum):
    """What became of the search for a plan, the worst first. Closed."""

    NO_PLAN = "no_plan"
    BOUND_EXCEEDED = "bound_exceeded"
    PLAN = "plan"


_ORDER = list(PlanOutcome)


def of_all(parts: Iterable[Collection[PlanOutcome]]) -> frozenset[PlanOutcome]:
    """All that may come of the whole, given what may come of each part: one without a plan leaves the whole
    without one."""
    possible = frozenset((PlanOutcome.PLAN,))
    for outcomes in parts:
        possible = frozenset(min(one, two, key=_ORDER.index) for one in possible for two in outcomes)
    return possible
