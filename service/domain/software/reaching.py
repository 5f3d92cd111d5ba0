"""Rule 10 of fit: a set of releases goes together on the boards, and loads lead to it."""

from __future__ import annotations

from service.domain.software.blocks import blocks, cut, pruned
from service.domain.software.bound import BoundExceeded
from service.domain.software.compiling import compiled
from service.domain.software.outcome import PlanOutcome, of_all
from service.domain.software.problem import Problem, State
from service.domain.software.releases import Software
from service.domain.software.sequences import case_of, is_possible, starts
from service.domain.software.task import Task
from service.domain.terms import RoleId


def can_go_together(task: Task) -> frozenset[PlanOutcome]:
    """Whether there is a plan, for every case of what may be on the boards; which plan is not asked.

    The outcomes are those of `plans`, for less. Raises ValueError as `compiled` does.
    """
    problem = pruned(compiled(task))
    return of_all(_outcomes(cut(problem, group)) for group in blocks(problem))


def joined_roles(software: Software) -> tuple[tuple[RoleId, ...], ...]:
    """The roles that carry software in groups that no need joins, whatever sits there. What becomes of one
    group is nothing to the next."""
    groups: list[set[RoleId]] = []
    for role, releases in software.releases.items():
        near = {role}.union(*(release.needs for release in releases))
        joined = [group for group in groups if group & near]
        groups = [group for group in groups if not group & near] + [near.union(*joined)]
    order = software.roles.index
    return tuple(sorted((tuple(sorted(group, key=order)) for group in groups), key=lambda g: order(g[0])))


def _outcomes(problem: Problem) -> frozenset[PlanOutcome]:
    try:
        return frozenset(_outcome(case_of(problem, start), start) for start in starts(problem))
    except BoundExceeded:
        return frozenset((PlanOutcome.BOUND_EXCEEDED,))


def _outcome(problem: Problem, start: State) -> PlanOutcome:
    try:
        return PlanOutcome.PLAN if is_possible(problem, start) else PlanOutcome.NO_PLAN
    except BoundExceeded:
        return PlanOutcome.BOUND_EXCEEDED
