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
    length: int
    """How many check characters it makes: one or two."""
    compute: Callable[[str], str]
    """Body to check characters."""
    holds: Callable[[str, str], bool]
    """Body and check characters to whether they agree.

    This is not always `compute(body) == check`: the two-character systems of ISO/IEC 7064 are
    verified by a congruence, which a few bodies meet in two ways, and both are in use.
    """
    least: int = 1
    most: int | None = None
    """Bounds of the body's length in characters; None is unbounded."""


def exact(
    name: str,
    compute: Callable[[str], str],
    *,
    body: str,
    check: str,
    least: int = 1,
    most: int | None = None,
) -> CheckSystem:
    """A system with one check character that holds exactly when it is the computed one."""
    return CheckSystem(
        name=name,
        body=body,
        check=check,
        length=1,
        compute=compute,
        holds=lambda text, found: compute(text) == found,
        least=least,
        most=most,
    )
