"""What finding a fact out costs a caller, by the means at hand. Common practice, no source.

Small numbers are little effort; None is: not findable with these means. The customer is never asked
for a fact of a board inside the machine, which would mean opening it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from service.domain.terms import Means

_BY_MEANS = tuple[int | None, int | None, int | None]
"""Effort for the customer, the counter and the bench."""

UNIT: Mapping[str, _BY_MEANS] = {
    "unit.serial": (1, 1, 1),
    "unit.model": (1, 1, 1),
    "unit.market": (2, 2, 2),
    "unit.made_on": (3, 3, 3),
    "board.role": (2, 1, 1),
}
LOOSE: Mapping[str, _BY_MEANS] = {
    "part": (3, 2, 2),
    "binding": (6, 5, 4),
    "holds": (None, 7, 4),
    "condition": (5, 5, 5),
    "introduced": (None, None, 6),
    "release": (None, 6, 4),
}
"""Of a proposed board, which is in somebody's hand."""
INSIDE: Mapping[str, _BY_MEANS] = {
    "part": (None, None, 8),
    "binding": (None, None, 7),
    "holds": (None, None, 7),
    "condition": (None, None, 8),
    "introduced": (None, None, 7),
    "release": (None, None, 7),
}
"""Of a board that sits in the unit."""

_COLUMN = {Means.CUSTOMER: 0, Means.COUNTER: 1, Means.BENCH: 2}


def effort(fact: str, means: Means, proposed: Collection[str]) -> int | None:
    """The effort of finding out a fact; None where these means cannot.

    `proposed` holds the names of the places of proposed boards.
    """
    if fact in UNIT:
        return UNIT[fact][_COLUMN[means]]
    place, _, attribute = fact.rpartition(".")
    return (LOOSE if place in proposed else INSIDE)[attribute][_COLUMN[means]]


def how(fact: str, proposed: Collection[str]) -> str:
    """The code of how one finds it out; `words` has its sentence."""
    if fact in UNIT:
        return f"how_{fact.replace('.', '_')}"
    place, _, attribute = fact.rpartition(".")
    return f"how_{attribute}" if place in proposed else f"how_inside_{attribute}"
