"""What a check character system is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

DIGITS = "0123456789"
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
ALPHANUMERIC = DIGITS + LETTERS


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckSystem:
    """A rule that makes check characters out of a body of characters.

    INVARIANT: for every body over `body` with `least` to `most` characters, `compute(body)` is
    `length` characters out of `check`, and `holds(body, compute(body))`.
    """

    name: str
    body: str
    """The characters that it runs over."""
    check: str
    """The characters that a check character can be."""
    compute: Callable[[str], str]
    """Body to check characters."""
    length: int = 1
    """How many check characters it makes: one or two."""
    verify: Callable[[str], bool] | None = None
    """For a system that is verified by a congruence over body and check: whether that holds."""
    least: int = 1
    most: int | None = None
    """Bounds of the body's length in characters; None is unbounded."""

    def holds(self, body: str, check: str) -> bool:
        """Whether the check characters agree with the body.

        With a congruence a few bodies have two that do, and both are in use; else it is the computed one.
        """
        return self.compute(body) == check if self.verify is None else self.verify(body + check)
