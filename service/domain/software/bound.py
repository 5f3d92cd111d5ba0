"""The bound of planning, counted in steps and not in time: the same question ends the same way everywhere."""

from __future__ import annotations

MOST_STEPS = 50_000
"""Points that the search for one plan looks at. Past it the answer is that nobody knows (`bound_exceeded`): a
catalogue whose releases all need each other can hide one plan among millions of states."""

MOST_CASES = 256
"""Cases of what may be on the boards of one block. Past it someone reads the boards first."""


class BoundExceeded(Exception):
    """`MOST_STEPS` steps were taken and no end is in sight, or there are more cases than `MOST_CASES`."""


class Steps:
    """Counts the steps taken for one answer."""

    __slots__ = ("taken",)

    def __init__(self) -> None:
        self.taken = 0

    def take(self) -> None:
        """One more step. Raises BoundExceeded."""
        self.taken += 1
        if self.taken > MOST_STEPS:
            raise BoundExceeded
