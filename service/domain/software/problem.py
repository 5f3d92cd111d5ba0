"""A task as bit masks: for each board its releases as the bits of a number, the newest the lowest bit.

A *state* names one bit for each board. It is allowed on the way when every two boards of it go together; two
that do not go together as they are now (`at_odds`) are let off until the end, or nothing could be mended. At
the end every two boards go together, and each carries a listed release that is wanted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from service.domain.place import Place
from service.domain.software.task import Carried

State = tuple[int, ...]
"""For each board the position of what it carries among its `nodes`."""

Pairs = Mapping[tuple[int, int], tuple[int, ...]]
"""For two boards, and each node of the first, the nodes of the second that go with it. Both ways round."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One board and the releases that it may pass through."""

    place: Place
    nodes: tuple[Carried, ...]
    """The role's releases, newest first, then what else may be on the board now."""
    start: int
    """Mask of what may be on it now."""
    goal: int
    """Mask of the releases that it may end with: they run on it, and they are wanted."""
    loads: tuple[int, ...]
    """For each node the mask of those that can be loaded over it, itself not among them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Boards, and which of their releases go together. `pairs` has those only that rule something out."""

    lanes: tuple[Lane, ...]
    pairs: Pairs
    exempt: frozenset[tuple[int, int]] = field(default_factory=frozenset)
    """Pairs that are let off on the way; both ways round."""

    def way(self) -> Pairs:
        """The pairs that hold on the way."""
        return {pair: rows for pair, rows in self.pairs.items() if pair not in self.exempt}


def bits(mask: int) -> Iterator[int]:
    """The positions of a mask's bits, lowest first."""
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


def union(mask: int, rows: tuple[int, ...]) -> int:
    """The rows of a mask's bits, joined."""
    joined = 0
    for bit in bits(mask):
        joined |= rows[bit]
    return joined


def at_odds(problem: Problem, state: State) -> frozenset[tuple[int, int]]:
    """The pairs of boards that do not go together in a state."""
    return frozenset(
        (one, two) for (one, two), rows in problem.pairs.items() if not rows[state[one]] >> state[two] & 1
    )
