"""The boards that lead a search: enough of them that no need joins two of the others."""

from __future__ import annotations

from collections.abc import Collection


def leaders(size: int, pairs: Collection[tuple[int, int]]) -> tuple[int, ...]:
    """A smallest set of boards that has one of every pair; of several such the first in order.

    There are at most 16 boards in a question; a branch takes one board, or all that are joined with it.
    """
    near = [sum(1 << two for one, two in pairs if one == board) for board in range(size)]
    chosen = _cover(near, (1 << size) - 1, size)
    assert chosen is not None, "all boards are a cover"
    return tuple(board for board in range(size) if chosen >> board & 1)


def _cover(near: list[int], left: int, most: int) -> int | None:
    """A smallest cover of the pairs among the boards `left`, of at most so many; None: there is none."""
    degrees = [(near[board] & left).bit_count() if left >> board & 1 else 0 for board in range(len(near))]
    board = max(range(len(near)), key=lambda each: degrees[each], default=0)
    if not degrees or degrees[board] == 0:
        return 0
    if most <= 0:
        return None
    found = _with(near, left, 1 << board, most)
    most = most if found is None else found.bit_count() - 1
    other = _with(near, left & ~(1 << board), near[board] & left, most)
    return found if other is None else other


def _with(near: list[int], left: int, taken: int, most: int) -> int | None:
    """A smallest cover that has the boards `taken`."""
    if taken.bit_count() > most:
        return None
    rest = _cover(near, left & ~taken, most - taken.bit_count())
    return None if rest is None else rest | taken
