"""The loads that bring the boards to a set that goes together, in their order.

A plan has the fewest loads, and every state in between is allowed (`problem`). Among the plans of fewest
loads it is the one that at each step loads the board which comes first in the catalogue's order of roles, and
of that board the newest release, that still leaves a plan of fewest loads. So there is one, and every process
finds the same.

What is on a board may be open. There is a plan for each case then, boards that no need joins apart from each
other, and cases with the same loads are one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from service.domain.place import Place
from service.domain.software.blocks import blocks, cut, pruned
from service.domain.software.bound import BoundExceeded
from service.domain.software.compiling import compiled
from service.domain.software.outcome import PlanOutcome, of_all
from service.domain.software.problem import Lane, Problem, State
from service.domain.software.sequences import case_of, sequence, starts
from service.domain.software.task import Aim, Carried, Task
from service.domain.software.versions import Version


class Load(NamedTuple):
    """One load: a release onto the board in a place."""

    place: Place
    version: Version


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is to be done in one case, or in several that come to the same."""

    when: tuple[Mapping[Place, Carried], ...]
    """What is on those boards of the block for which it is open; one empty mapping where it is for none."""
    outcome: PlanOutcome
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockPlans:
    """The plans for boards that needs join. Its cases are all that may be."""

    places: tuple[Place, ...]
    cases: tuple[Case, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plans:
    """The answer to a task, block by block."""

    blocks: tuple[BlockPlans, ...]

    @property
    def outcomes(self) -> frozenset[PlanOutcome]:
        """All that may come of it. A block that cannot be brought together leaves the whole with no plan."""
        return of_all({case.outcome for case in block.cases} for block in self.blocks)


def plans(task: Task) -> Plans:
    """The plans for a task. Raises ValueError as `compiled` does."""
    problem = pruned(compiled(task))
    return Plans(blocks=tuple(_planned(cut(problem, group), task.aim) for group in blocks(problem)))


def _planned(problem: Problem, aim: Aim) -> BlockPlans:
    cases: dict[tuple[PlanOutcome, tuple[Load, ...]], list[Mapping[Place, Carried]]] = {}
    try:
        for start in starts(problem):
            cases.setdefault(_in_case(problem, start, aim), []).append(_open(problem, start))
    except BoundExceeded:
        cases = {(PlanOutcome.BOUND_EXCEEDED, ()): [{}]}
    return BlockPlans(
        places=tuple(lane.place for lane in problem.lanes),
        cases=tuple(
            Case(when=tuple(when), outcome=outcome, loads=loads) for (outcome, loads), when in cases.items()
        ),
    )


def _open(problem: Problem, start: State) -> Mapping[Place, Carried]:
    """What a case says of the boards for which it is open."""
    lanes = zip(problem.lanes, start, strict=True)
    return {lane.place: lane.nodes[node] for lane, node in lanes if lane.start.bit_count() > 1}


def _in_case(problem: Problem, start: State, aim: Aim) -> tuple[PlanOutcome, tuple[Load, ...]]:
    try:
        moves = sequence(case_of(problem, start), start, aim)
    except BoundExceeded:
        return PlanOutcome.BOUND_EXCEEDED, ()
    if moves is None:
        return PlanOutcome.NO_PLAN, ()
    return PlanOutcome.PLAN, tuple(load_of(problem.lanes[move.lane], move.node) for move in moves)


def load_of(lane: Lane, node: int) -> Load:
    """The load of a node onto a lane's board."""
    version = lane.nodes[node]
    assert version is not None, "what answers nothing cannot be loaded"
    return Load(lane.place, version)
