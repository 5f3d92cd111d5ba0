"""One case of one block: whether a set that goes together can be reached, and the loads that lead there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from math import prod
from typing import NamedTuple

from service.domain.software.blocks import blocks, cut, pruned
from service.domain.software.bound import MOST_CASES, BoundExceeded
from service.domain.software.problem import Problem, State, at_odds, bits
from service.domain.software.search import Search
from service.domain.software.sets import newest_reached, sets_that_go_together
from service.domain.software.task import Aim


class Move(NamedTuple):
    """One load: the board, and what it carries then."""

    lane: int
    node: int


def starts(problem: Problem) -> Iterator[State]:
    """Every case of what may be on the boards. Raises BoundExceeded, before the first, for too many."""
    if prod(lane.start.bit_count() for lane in problem.lanes) > MOST_CASES:
        raise BoundExceeded
    yield from product(*(tuple(bits(lane.start)) for lane in problem.lanes))


def case_of(problem: Problem, start: State, odd: frozenset[tuple[int, int]] | None = None) -> Problem:
    """The problem with the boards as they are in one case. The pairs that are at odds in it, or those given,
    are let off until the end."""
    lanes = tuple(replace(lane, start=1 << node) for lane, node in zip(problem.lanes, start, strict=True))
    return replace(problem, lanes=lanes, exempt=at_odds(problem, start) if odd is None else odd)


def is_possible(problem: Problem, start: State) -> bool:
    """Whether any set that goes together can be reached in a case. Raises BoundExceeded."""
    return all(
        Search(cut(problem, group)).fewest(tuple(start[lane] for lane in group)) is not None
        for group in blocks(problem)
    )


def sequence(problem: Problem, start: State, aim: Aim) -> tuple[Move, ...] | None:
    """The plan that the rule for ties names (`plans`); None where there is none. Raises BoundExceeded."""
    search = Search(problem) if aim is Aim.LEAST_CHANGE else _to_newest(problem, start)
    left = None if search is None else search.fewest(start)
    if search is None or left is None:
        return None
    moves: list[Move] = []
    state = start
    for shorter in range(left - 1, -1, -1):
        lane, state = next(
            (lane, after)
            for lane, after in search.after(state)
            if search.fewest(after, within=shorter) is not None
        )
        moves.append(Move(lane, state[lane]))
    return tuple(moves)


def _to_newest(problem: Problem, start: State) -> Search | None:
    """The search whose only end is the newest set that can be reached; None where none can."""
    newest = next(sets_that_go_together(problem), None)
    if newest is None:
        return None
    search = Search(_ending_with(problem, newest))
    if search.fewest(start) is not None:
        return search
    # The newest of all sets is out of reach, so every set that can be reached is looked at.
    reached = newest_reached(problem, start)
    return None if reached is None else Search(_ending_with(problem, reached))


def _ending_with(problem: Problem, state: State) -> Problem:
    lanes = tuple(replace(lane, goal=1 << node) for lane, node in zip(problem.lanes, state, strict=True))
    return pruned(replace(problem, lanes=lanes))
