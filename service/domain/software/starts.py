"""Every way in which the boards of a task may start, and what becomes of it.

Releases that are alike in all that matters stand for one another, so that a list of many releases is no more
work than what it says of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod
from typing import NamedTuple

from service.domain.place import Place
from service.domain.software.blocks import pruned
from service.domain.software.bound import BoundExceeded
from service.domain.software.compiling import compiled
from service.domain.software.plans import Load, load_of
from service.domain.software.problem import Problem, State, at_odds, bits
from service.domain.software.sequences import case_of, is_possible, sequence
from service.domain.software.task import Aim, Carried, Task

MOST_STARTS = 1_024
"""So many starts that are not alike are gone through; past it nobody knows."""


class Start(NamedTuple):
    """One way to start, or several that are alike."""

    carried: tuple[tuple[Carried, ...], ...]
    """For each board, in the order of `Starts.places`, what it carries then: any of these."""
    state: State
    fits_now: bool
    """Nothing has to be loaded: the set goes together as it is."""


class Starts:
    """The starts of one task."""

    def __init__(self, task: Task) -> None:
        """Raises ValueError as `compiled` does, and BoundExceeded for too many starts."""
        problem = compiled(task)
        self._problem = pruned(problem)
        self._whole = problem
        self.places: tuple[Place, ...] = tuple(lane.place for lane in problem.lanes)
        classes = [_classes(problem, at) for at in range(len(problem.lanes))]
        if prod(map(len, classes)) > MOST_STARTS:
            raise BoundExceeded
        self.all = tuple(self._start(chosen) for chosen in product(*classes))

    def together(self, start: Start, places: frozenset[Place]) -> bool:
        """Whether the boards in these places go together as they are, the others left aside."""
        lanes = [at for at, lane in enumerate(self._whole.lanes) if lane.place in places]
        odd = at_odds(self._whole, start.state)
        return all(self._whole.lanes[at].goal >> start.state[at] & 1 for at in lanes) and not any(
            one in lanes and two in lanes for one, two in odd
        )

    def possible(self, start: Start) -> bool:
        """Whether loads lead from there to a set that goes together. Raises BoundExceeded."""
        return start.fits_now or is_possible(case_of(self._problem, start.state), start.state)

    def loads(self, start: Start) -> tuple[Load, ...] | None:
        """The fewest loads from there to a set that goes together; None where there is no plan.

        Raises BoundExceeded.
        """
        if start.fits_now:
            return ()
        moves = sequence(case_of(self._problem, start.state), start.state, Aim.LEAST_CHANGE)
        lanes = self._problem.lanes
        return None if moves is None else tuple(load_of(lanes[move.lane], move.node) for move in moves)

    def _start(self, chosen: Sequence[tuple[int, ...]]) -> Start:
        state = tuple(nodes[0] for nodes in chosen)
        lanes = zip(self._whole.lanes, chosen, strict=True)
        return Start(
            carried=tuple(tuple(lane.nodes[node] for node in nodes) for lane, nodes in lanes),
            state=state,
            fits_now=not at_odds(self._whole, state)
            and all(lane.goal >> node & 1 for lane, node in zip(self._whole.lanes, state, strict=True)),
        )


def _classes(problem: Problem, at: int) -> list[tuple[int, ...]]:
    """What may be on a board, those that are alike together."""
    found: list[list[int]] = []
    for node in bits(problem.lanes[at].start):
        alike = next((nodes for nodes in found if _alike(problem, at, nodes[0], node)), None)
        if alike is None:
            found.append([node])
        else:
            alike.append(node)
    return [tuple(nodes) for nodes in found]


def _alike(problem: Problem, at: int, one: int, other: int) -> bool:
    """Whether the same goes with both, the same loads over both, and both or neither can be the end."""
    lane = problem.lanes[at]
    both = 1 << one | 1 << other
    pairs = (rows for (board, _), rows in problem.pairs.items() if board == at)
    return (
        lane.goal >> one & 1 == lane.goal >> other & 1
        and lane.loads[one] | both == lane.loads[other] | both
        and all(rows[one] == rows[other] for rows in pairs)
    )
