"""What makes a problem small: dead releases struck out, and boards that no need joins looked at apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from service.domain.software.problem import Lane, Problem, union


def pruned(problem: Problem) -> Problem:
    """The problem without what no plan can pass through: releases that a board, the others left aside, does
    not come to from what is on it, or from which it does not come to one that it may end with."""
    lanes = tuple(map(_pruned, problem.lanes))
    pairs = {
        (one, two): rows
        for (one, two), rows in problem.pairs.items()
        if _rules_out(rows, lanes[one], lanes[two])
    }
    return replace(problem, lanes=lanes, pairs=pairs)


def blocks(problem: Problem) -> tuple[tuple[int, ...], ...]:
    """The boards in groups that no need joins: each is planned by itself."""
    groups: list[set[int]] = []
    for lane in range(len(problem.lanes)):
        near = {lane} | {two for one, two in problem.pairs if one == lane}
        joined = [group for group in groups if group & near]
        groups = [group for group in groups if not group & near] + [near.union(*joined)]
    return tuple(sorted(tuple(sorted(group)) for group in groups))


def cut(problem: Problem, group: Sequence[int]) -> Problem:
    """The problem of some boards alone."""
    new = {lane: at for at, lane in enumerate(group)}
    return Problem(
        lanes=tuple(problem.lanes[lane] for lane in group),
        pairs={
            (new[one], new[two]): rows
            for (one, two), rows in problem.pairs.items()
            if one in new and two in new
        },
        exempt=frozenset((new[one], new[two]) for one, two in problem.exempt if one in new and two in new),
    )


def closure(mask: int, rows: tuple[int, ...]) -> int:
    """The nodes of a mask, and all that can be loaded after them, any number of loads on."""
    reached = mask
    while fresh := union(mask, rows) & ~reached:
        reached |= fresh
        mask = fresh
    return reached


def inverse(rows: tuple[int, ...]) -> tuple[int, ...]:
    """For each node those over which it can be loaded."""
    return tuple(
        sum(1 << source for source, row in enumerate(rows) if row >> target & 1)
        for target in range(len(rows))
    )


def _pruned(lane: Lane) -> Lane:
    alive = closure(lane.start, lane.loads) & closure(lane.goal, inverse(lane.loads))
    loads = tuple(row & alive if alive >> node & 1 else 0 for node, row in enumerate(lane.loads))
    return replace(lane, goal=lane.goal & alive, loads=loads)


def _open(lane: Lane) -> int:
    """The nodes that a plan may pass through, where it begins among them."""
    return lane.start | lane.goal | union((1 << len(lane.loads)) - 1, lane.loads)


def _rules_out(rows: tuple[int, ...], one: Lane, two: Lane) -> bool:
    there, beside = _open(one), _open(two)
    return any(there >> node & 1 and row & beside != beside for node, row in enumerate(rows))
