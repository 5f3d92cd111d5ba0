"""How many loads one board needs at least, beside one other board that a need joins to it.

Only the board's own loads are counted, the other's are free; so the numbers of several boards add up to what
no plan falls short of, and a load never brings the end nearer than by one.
"""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.software.blocks import inverse
from service.domain.software.problem import Lane, bits, union

NEVER = 1 << 30
"""More loads than any plan has."""

Distances = tuple[int, ...]
"""For each node of a board the fewest of its own loads to the end; NEVER where none lead there."""


def alone(lane: Lane) -> Distances:
    """The fewest loads of a board to a release that it may end with, all other boards left aside."""
    sources = inverse(lane.loads)
    levels, seen = [lane.goal], lane.goal
    while fresh := union(levels[-1], sources) & ~seen:
        levels.append(fresh)
        seen |= fresh
    return _distances(levels, len(lane.nodes))


def beside(lane: Lane, other: Lane, way: Sequence[int] | None, end: Sequence[int]) -> tuple[Distances, ...]:
    """For each node of the other board, the distances of this one.

    `way` and `end`: for each node of the other the nodes of this one that go with it, on the way (None: all)
    and at the end.
    """
    sources, others = inverse(lane.loads), inverse(other.loads)
    allowed = list(way) if way is not None else [-1] * len(other.nodes)
    here = [
        end[node] & lane.goal & allowed[node] if other.goal >> node & 1 else 0
        for node in range(len(other.nodes))
    ]
    seen = [0] * len(other.nodes)
    levels: list[list[int]] = []
    while any(here):
        here = [mask & ~old for mask, old in zip(_widened(here, others, allowed), seen, strict=True)]
        seen = [mask | old for mask, old in zip(here, seen, strict=True)]
        levels.append(here)
        here = [union(mask, sources) & may & ~old for mask, may, old in zip(here, allowed, seen, strict=True)]
    width = len(lane.nodes)
    return tuple(_distances([level[node] for level in levels], width) for node in range(len(other.nodes)))


def _widened(here: Sequence[int], sources: tuple[int, ...], allowed: Sequence[int]) -> list[int]:
    """The nodes here, by the other board's node, and with them those that the other's own loads lead to."""
    wider = list(here)
    todo = sum(1 << node for node, mask in enumerate(here) if mask)
    while todo:
        node = todo.bit_length() - 1
        todo ^= 1 << node
        for source in bits(sources[node]):
            added = wider[node] & allowed[source] & ~wider[source]
            if added:
                wider[source] |= added
                todo |= 1 << source
    return wider


def _distances(levels: Sequence[int], width: int) -> Distances:
    distances = [NEVER] * width
    for count, level in enumerate(levels):
        for node in bits(level):
            distances[node] = count
    return tuple(distances)
