"""What each board may be, and how far it has to go, while the leaders of a search stand as they do."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce
from operator import or_
from typing import NamedTuple

from service.domain.software.beside import NEVER, Distances, alone, beside
from service.domain.software.cover import leaders
from service.domain.software.problem import Pairs, Problem, State, bits, union

Levels = tuple[int, ...]
"""Masks of nodes: those that take no load more than the fewest, one more, two more …"""


class Followed(NamedTuple):
    """What a walk of the leaders leaves open for one board."""

    spent: int
    """Its loads that cannot be spared."""
    levels: Levels
    to_go: int
    """Its loads to the end from there, at least."""


class Stand:
    """One board beside leaders that stand still. What was found for some levels is kept."""

    __slots__ = ("_kept", "_loads", "end", "to_go", "way")

    def __init__(self, loads: tuple[int, ...], way: int, end: int, distances: Distances) -> None:
        """`way` and `end` are masks of the nodes that go with the leaders, `distances` those to the end."""
        self._loads, self.way, self.end = loads, way, end
        self.to_go = _nearest_first(distances)
        self._kept: dict[Levels, Followed | None] = {}

    def far(self, node: int) -> int:
        """The board's loads from a node to the end, at least."""
        return next((loads for loads, mask in self.to_go if mask >> node & 1), NEVER)

    def follow(self, levels: Levels) -> Followed | None:
        """What is left of the levels once the leaders stand here, the board's own loads taken on. None: the
        board cannot be where it would have to be."""
        if levels not in self._kept:
            self._kept[levels] = self._follow(levels)
        return self._kept[levels]

    def _follow(self, levels: Levels) -> Followed | None:
        spread = _spread(self._loads, levels, self.way)
        spent = next((count for count, level in enumerate(spread) if level), None)
        if spent is None:
            return None
        left = spread[spent:]
        ways = (count + far for count, level in enumerate(left) for far, mask in self.to_go if level & mask)
        to_go = min(ways, default=NEVER)
        return Followed(spent, left, to_go) if to_go < NEVER else None

    def become(self, mask: int) -> int:
        """All that the board can become while the leaders stand here; nothing where that leads to no end."""
        followed = self.follow((mask,))
        return reduce(or_, followed.levels) if followed else 0

    def ending(self, levels: Levels) -> int:
        """The fewest loads after which the board is at an end; NEVER where it cannot be."""
        return next((count for count, level in enumerate(levels) if level & self.end), NEVER)


class Ground(NamedTuple):
    """All boards while the leaders stand still."""

    to_go: int
    """The leaders' loads to the end, at least."""
    is_end: bool
    """Whether the leaders may stay like this."""
    others: tuple[Stand, ...]
    moves: tuple[State, ...]
    """How the leaders may stand after one load of one of them."""


class Standing:
    """The grounds of one problem, each made when it is first stood on."""

    def __init__(self, problem: Problem) -> None:
        """Choose the leaders, and measure each board beside each that a need joins to it."""
        self.lanes = problem.lanes
        self.way, self.end = problem.way(), problem.pairs
        self.leaders = leaders(len(self.lanes), self.end.keys())
        self.others = tuple(lane for lane in range(len(self.lanes)) if lane not in self.leaders)
        self._alone = tuple(alone(lane) for lane in self.lanes)
        self._beside = {pair: self._measured(*pair) for pair in self.end}
        self._stands: dict[tuple[int, State], Stand] = {}
        self._grounds: dict[State, Ground] = {}

    def at_least(self, state: State) -> int:
        """A number of loads that no plan from there falls short of."""
        loads = [distances[node] for distances, node in zip(self._alone, state, strict=True)]
        for (lane, other), distances in self._beside.items():
            loads[lane] = max(loads[lane], distances[state[other]][state[lane]])
        return sum(loads)

    def leading(self, state: State) -> State:
        """The leaders' part of a state."""
        return tuple(state[lane] for lane in self.leaders)

    def ground(self, leading: State) -> Ground:
        """What the boards may be while the leaders stand like this."""
        if leading not in self._grounds:
            self._grounds[leading] = self._made(leading)
        return self._grounds[leading]

    def _measured(self, lane: int, other: int) -> tuple[Distances, ...]:
        way, end = self.way.get((other, lane)), self.end[other, lane]
        return beside(self.lanes[lane], self.lanes[other], way, end)

    def _made(self, leading: State) -> Ground:
        nodes = dict(zip(self.leaders, leading, strict=True))
        stands = {lane: self._stand(lane, nodes) for lane in self.leaders}
        return Ground(
            to_go=sum(stands[lane].far(node) for lane, node in nodes.items()),
            is_end=all(stands[lane].end >> node & 1 for lane, node in nodes.items()),
            others=tuple(self._stand(lane, nodes) for lane in self.others),
            moves=tuple(
                (*leading[:at], node, *leading[at + 1 :])
                for at, lane in enumerate(self.leaders)
                for node in bits(self.lanes[lane].loads[leading[at]] & stands[lane].way)
            ),
        )

    def _stand(self, lane: int, nodes: Mapping[int, int]) -> Stand:
        """A board beside those leaders that a need joins to it."""
        joined = {leader: node for leader, node in nodes.items() if (leader, lane) in self.end}
        key = (lane, tuple(joined.values()))
        if key not in self._stands:
            columns = [self._beside[lane, leader][node] for leader, node in joined.items()]
            distances = tuple(map(max, zip(self._alone[lane], *columns, strict=True)))
            way, end = _beside_all(self.way, joined, lane), _beside_all(self.end, joined, lane)
            board = self.lanes[lane]
            self._stands[key] = Stand(board.loads, way, end & board.goal, distances)
        return self._stands[key]


def _beside_all(pairs: Pairs, nodes: Mapping[int, int], lane: int) -> int:
    """The nodes of a board that go with all of these nodes of others."""
    mask = -1
    for other, node in nodes.items():
        rows = pairs.get((other, lane))
        mask &= rows[node] if rows is not None else -1
    return mask


def _spread(loads: tuple[int, ...], levels: Levels, allowed: int) -> Levels:
    """Levels within the allowed nodes, each node in the first level in which it is reached."""
    spread: list[int] = []
    seen = fresh = count = 0
    while count < len(levels) or fresh:
        given = levels[count] if count < len(levels) else 0
        here = (given & allowed | fresh) & ~seen
        seen |= here
        spread.append(here)
        fresh = union(here, loads) & allowed & ~seen
        count += 1
    while spread and not spread[-1]:
        spread.pop()
    return tuple(spread)


def _nearest_first(distances: Distances) -> tuple[tuple[int, int], ...]:
    """Each distance with the mask of the nodes that are so far, the shortest first."""
    masks: dict[int, int] = {}
    for node, distance in enumerate(distances):
        if distance < NEVER:
            masks[distance] = masks.get(distance, 0) | 1 << node
    return tuple(sorted(masks.items()))
