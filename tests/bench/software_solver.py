"""The same plans by CP-SAT, over a horizon of steps, one load at most in each."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from ortools.sat.python import cp_model

from service.domain.software.compiling import compiled
from service.domain.software.plans import Plans
from service.domain.software.problem import Problem, State, at_odds, bits
from service.domain.software.task import Task


def solved(task: Task, found: Plans) -> bool:
    """Whether the solver finds a plan of as many loads to the same set. It is told the number and the set,
    and spared the proof that there is no shorter one."""
    problem = compiled(task)
    start = tuple(next(bits(lane.start)) for lane in problem.lanes)
    loads = {load.place: load.version for block in found.blocks for load in block.cases[0].loads}
    end = tuple(
        lane.nodes.index(loads[lane.place]) if lane.place in loads else node
        for lane, node in zip(problem.lanes, start, strict=True)
    )
    model = _Model(problem, sum(len(block.cases[0].loads) for block in found.blocks))
    model.walk(start, end)
    model.go_together(at_odds(problem, start))
    solver: Any = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return bool(solver.solve(model.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE))


class _Model:
    """For each board, node and step whether it carries that, and at each step which board is loaded."""

    def __init__(self, problem: Problem, horizon: int) -> None:
        self.problem, self.steps = problem, range(horizon + 1)
        self.model: Any = cp_model.CpModel()
        self.on = {
            (lane, node, step): self.model.new_bool_var("")
            for lane, each in enumerate(problem.lanes)
            for node in range(len(each.nodes))
            for step in self.steps
        }

    def walk(self, start: State, end: State) -> None:
        """From the start to the end by loads, just one board's at each step."""
        loaded = {
            (lane, step): self.model.new_bool_var("") for lane in range(len(start)) for step in self.steps[1:]
        }
        for lane, each in enumerate(self.problem.lanes):
            for step in self.steps:
                self.model.add_exactly_one(self.on[lane, node, step] for node in range(len(each.nodes)))
            self.model.add(self.on[lane, start[lane], 0] == 1)
            self.model.add(self.on[lane, end[lane], self.steps[-1]] == 1)
        for lane, over, before, after in self._loads():
            here, stays = self.on[lane, over, before], self.on[lane, over, after]
            targets = [self.on[lane, to, after] for to in bits(self.problem.lanes[lane].loads[over])]
            self.model.add_bool_or(stays, loaded[lane, after]).only_enforce_if(here)
            self.model.add_bool_or(stays, *targets).only_enforce_if(here)
        for step in self.steps[1:]:
            self.model.add_exactly_one(loaded[lane, step] for lane in range(len(start)))

    def _loads(self) -> Iterator[tuple[int, int, int, int]]:
        for lane, each in enumerate(self.problem.lanes):
            for over in range(len(each.nodes)):
                yield from ((lane, over, before, after) for before, after in pairwise(self.steps))

    def go_together(self, exempt: frozenset[tuple[int, int]]) -> None:
        """At every step, those at odds let off; the end is one that goes together."""
        for (one, two), rows in self.problem.pairs.items():
            if one < two and (one, two) not in exempt:
                for node, row in enumerate(rows):
                    for step in self.steps:
                        goes = [self.on[two, other, step] for other in bits(row)]
                        self.model.add_bool_or(goes).only_enforce_if(self.on[one, node, step])
