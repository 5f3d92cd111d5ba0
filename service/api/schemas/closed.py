"""The closed sets that only the API has; the others are the domain's."""

from __future__ import annotations

from enum import StrEnum


class Assume(StrEnum):
    """What is taken for granted of boards that nobody speaks of."""

    USUAL = "usual"
    NOTHING = "nothing"


class Questions(StrEnum):
    """How many questions an answer asks back."""

    NEXT = "next"
    ALL = "all"


class StatedBinding(StrEnum):
    """What somebody says of a board's binding."""

    BLANK = "blank"
    USED = "used"
    BOUND = "bound"


class StatedCondition(StrEnum):
    """What somebody says of a board's condition."""

    USABLE = "usable"
    MAYBE_EXPOSED = "maybe_exposed"
    EXPOSED = "exposed"
    FAILED = "failed"
    SCRAPPED = "scrapped"


class Available(StrEnum):
    """Whether a unit can do something that it either can or can't."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class PlaceState(StrEnum):
    """What is recorded of a place of a unit."""

    RECORDED = "recorded"
    NOT_RECORDED = "not_recorded"
    EMPTY = "empty"
