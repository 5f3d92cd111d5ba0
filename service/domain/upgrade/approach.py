"""In which ways a unit comes to what is wanted, and what each of them may change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Approach(StrEnum):
    """In which way a unit comes to what is wanted. May grow."""

    ACCESSORY_ONLY = "accessory_only"
    SOFTWARE_ONLY = "software_only"
    OTHER_BOARDS = "other_boards"
    """Other boards, with whatever software and accessories they need."""
    ANOTHER_MODEL = "another_model"
    """The machine becomes one of another model."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """Which kinds of change a plan may make."""

    boards: bool = True
    loads: bool = True
    accessories: bool = True


ALLOWED: Mapping[Approach, Allowed] = {
    Approach.ACCESSORY_ONLY: Allowed(boards=False, loads=False),
    Approach.SOFTWARE_ONLY: Allowed(boards=False, accessories=False),
    Approach.OTHER_BOARDS: Allowed(),
    Approach.ANOTHER_MODEL: Allowed(),
}
