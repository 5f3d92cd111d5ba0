"""One unit with nothing unknown about it: what every oracle judges, and the form of its verdict.

A *place* is written `main`, or `bumper.left` where the role has several places. These are values
only; each oracle reads the catalogue document by itself and shares no rule with the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

Document = Mapping[str, Any]
"""A catalogue, a question or records as a plain document: what a YAML or JSON reader gives."""

BLANK = "blank"
UNBOUND = ""
"""The binding of a board whose part binds nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A board at a place of the resulting set."""

    part: str
    binding: str
    """`BLANK`, a model, or `UNBOUND`."""
    holds: str = "nothing"
    """Whose serial a naming board holds: `nothing`, `this_unit`, `idle` or `in_service` (elsewhere)."""
    condition: str = "usable"
    introduced: str = "no"
    """Of a follower, to the naming board beside it: `no`, `yes`, or `moved_pair` (both proposed, last
    introduced to each other, and that in another unit)."""
    proposed: bool = False
    release: str = ""
    """What is on it: the name of a release, `nothing` where it answers nothing, empty where it has none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """A unit's model, serial order key, date of making (ISO 8601), market, and the board at each place."""

    model: str
    key: int
    day: str
    market: str
    boards: Mapping[str, Board | None]
    """None: the place is empty. A place of the model that is left out here is an empty one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What an oracle says of a world."""

    outcome: str
    """`no`, `none` or `needed` (a fit, by whether it takes programming), or `out_of_scope`."""
    rule: int
    """The first failing rule, 0 where none fails; 2 for `out_of_scope`."""
    deciding: frozenset[tuple[int, str]]
    """The failures of that rule, each with its place; the place of rule 2 is the empty text."""


AXES = {
    "no": ("no", "not_applicable"),
    "none": ("yes", "none"),
    "needed": ("yes", "needed"),
    "out_of_scope": ("out_of_scope", "out_of_scope"),
}
"""The outcome of a world as its value on the axes fit and programming."""


def role_of(place: str) -> str:
    return place.partition(".")[0]


def places_of(role: str, document: Document) -> list[str]:
    """The places of a role, in the catalogue's order."""
    names = document["roles"][role].get("places")
    return [f"{role}.{name}" for name in names] if names else [role]
