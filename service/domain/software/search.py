"""The fewest loads from what is on the boards to a set that goes together.

Loads of boards that no need joins can be done in any order, and a search over whole states tries every one.
So only the *leaders* (`cover`) are walked through, load by load, by A*. Of each other board all is kept that
the walk so far leaves open: for every number of loads what can be on it after so many (`Levels`). No need
joins two of these others, so what one of them does is nothing to the next, and the fewest loads of a
walk are its own and, for each of the others, the fewest that follow it.
"""

from __future__ import annotations

from collections.abc import Iterator
from heapq import heappop, heappush
from typing import NamedTuple

from service.domain.software.beside import NEVER
from service.domain.software.bound import Steps
from service.domain.software.problem import Problem, State, bits
from service.domain.software.standing import Levels, Standing


class _Point(NamedTuple):
    """The leaders' nodes after a walk, and what it leaves open for each of the others."""

    leading: State
    others: tuple[Levels, ...]


class _Reached(NamedTuple):
    """Where a walk has come: the loads so far, those to the end at least, and the point; None is the end."""

    spent: int
    to_go: int
    point: _Point | None


class _Frontier:
    """The points that walks have come to and that are still to be gone on from."""

    def __init__(self, learned: dict[_Point, int], within: int) -> None:
        """`within`: walks of more loads are not wanted."""
        self.best: dict[_Point, int] = {}
        self._learned, self._within = learned, within
        self._queue: list[tuple[int, int, int, _Point | None]] = []
        self._offered = 0

    def offer(self, reached: _Reached) -> None:
        spent, to_go, point = reached
        if point is not None:
            if self.best.get(point, NEVER) <= spent:
                return
            to_go = max(to_go, self._learned.get(point, 0))
        if spent + to_go > self._within:
            return
        if point is not None:
            self.best[point] = spent
        self._offered += 1
        # Of equally promising points the deepest is taken first; the count settles the rest.
        heappush(self._queue, (spent + to_go, -spent, self._offered, point))

    def take(self) -> _Reached | None:
        """The most promising of them; None where there is none left."""
        while self._queue:
            total, unspent, _, point = heappop(self._queue)
            if point is None or self.best[point] == -unspent:
                return _Reached(-unspent, total + unspent, point)
        return None


class Search:
    """Searches of one problem. What one of them has learned is kept for the next; they share one bound."""

    def __init__(self, problem: Problem) -> None:
        self._standing = Standing(problem)
        self._learned: dict[_Point, int] = {}
        self._steps = Steps()

    def fewest(self, state: State, within: int = NEVER - 1) -> int | None:
        """The fewest loads from a state to the end; None where there is no plan of at most so many.

        Raises BoundExceeded.
        """
        first = self._first(state)
        if first is None or self._standing.at_least(state) > within:
            return None
        frontier = _Frontier(self._learned, within)
        frontier.offer(first)
        while (reached := frontier.take()) is not None:
            if reached.point is None:
                self._learn(frontier, reached.spent)
                return reached.spent
            for after in self._onward(reached.point, reached.spent):
                frontier.offer(after)
        self._learn(frontier, within + 1)
        return None

    def after(self, state: State) -> Iterator[tuple[int, State]]:
        """Each load that is allowed in a state: the board, and the state after it. In the order of the
        boards, and of each board the newest release first."""
        way = self._standing.way
        for lane, node in enumerate(state):
            for loaded in bits(self._standing.lanes[lane].loads[node]):
                rows = ((way.get((lane, other)), there) for other, there in enumerate(state))
                if all(row[loaded] >> there & 1 for row, there in rows if row is not None):
                    yield lane, (*state[:lane], loaded, *state[lane + 1 :])

    def _learn(self, frontier: _Frontier, fewest: int) -> None:
        """From a point that is `spent` loads away no plan is shorter than the whole less those loads."""
        for point, spent in frontier.best.items():
            self._learned[point] = max(self._learned.get(point, 0), fewest - spent)

    def _first(self, state: State) -> _Reached | None:
        levels = tuple((1 << state[lane],) for lane in self._standing.others)
        return self._reached(self._standing.leading(state), levels, 0)

    def _onward(self, point: _Point, spent: int) -> Iterator[_Reached]:
        """What comes after a point that took so many loads."""
        ground = self._standing.ground(point.leading)
        if ground.is_end:
            loads = sum(
                stand.ending(levels) for stand, levels in zip(ground.others, point.others, strict=True)
            )
            yield _Reached(spent + loads, 0, None)
        for leading in ground.moves:
            if (after := self._reached(leading, point.others, spent + 1)) is not None:
                yield after

    def _reached(self, leading: State, others: tuple[Levels, ...], spent: int) -> _Reached | None:
        """The point where the leaders stand like this after so many loads; None: some board cannot follow."""
        self._steps.take()
        ground = self._standing.ground(leading)
        to_go = ground.to_go
        left = []
        for stand, levels in zip(ground.others, others, strict=True):
            followed = stand.follow(levels)
            if followed is None:
                return None
            spent, to_go = spent + followed.spent, to_go + followed.to_go
            left.append(followed.levels)
        return _Reached(spent, to_go, _Point(leading, tuple(left))) if to_go < NEVER else None
