"""Whether there is a plan is told for each group of joined roles by itself."""

from __future__ import annotations

import random
from dataclasses import replace

import networkx as nx
import pytest

from service.domain.software.outcome import PlanOutcome, of_all
from service.domain.software.plans import plans
from service.domain.software.reaching import joined_roles
from service.domain.software.task import Aim, Task
from tests.software.asked import task
from tests.software.drawn import SUITE, cases, graphs
from tests.software.told import board, catalogue
from tests.software.told import task as small_task


def outcomes(question: Task) -> frozenset[PlanOutcome]:
    return plans(question).outcomes


def open_tasks(seed: int) -> list[Task]:
    rng = random.Random(seed)
    return [task(case, open_at=rng.sample(range(len(case.places)), 1)) for case in cases(seed)]


@pytest.mark.parametrize("seed", SUITE[:8])
def test_there_is_a_plan_where_the_graph_has_an_end(seed: int) -> None:
    for case, graph in graphs(seed):
        wanted = PlanOutcome.PLAN if graph.ends() else PlanOutcome.NO_PLAN
        assert outcomes(task(case)) == {wanted}


@pytest.mark.parametrize("seed", SUITE[:8])
def test_what_is_aimed_at_makes_no_difference_to_whether_there_is_a_plan(seed: int) -> None:
    for question in open_tasks(seed):
        newest, least = (plans(replace(question, aim=aim)).outcomes for aim in Aim)
        assert newest == least


@pytest.mark.parametrize("seed", SUITE[:8])
def test_joined_roles_can_be_asked_apart(seed: int) -> None:
    for question in open_tasks(seed):
        groups = joined_roles(question.software)
        apart = (
            replace(
                question,
                boards=tuple(board for board in question.boards if board.place.role in group),
                wanted={role: held for role, held in question.wanted.items() if role in group},
            )
            for group in groups
        )
        assert of_all(map(outcomes, apart)) == outcomes(question)


@pytest.mark.parametrize("seed", SUITE)
def test_joined_roles_are_the_components_of_the_needs(seed: int) -> None:
    for case in cases(seed):
        needs: nx.Graph[str] = nx.Graph()
        needs.add_nodes_from(case.roles)
        needs.add_edges_from(
            (role, other) for role, listed in case.releases.items() for each in listed for other in each.needs
        )
        groups = joined_roles(task(case).software)
        assert sorted(map(sorted, groups)) == sorted(map(sorted, nx.connected_components(needs)))
        assert [role for group in groups for role in sorted(group, key=case.roles.index)] == [
            role for group in groups for role in group
        ]


def test_too_many_cases_are_left_open() -> None:
    releases: dict[str, dict[str, str]] = {f"{role} {n}.0.0": {} for role in ("a", "b") for n in range(1, 18)}
    releases["a 17.0.0"] = {"b": "=17.0.0"}
    versions = [f"{n}.0.0" for n in range(1, 18)]
    question = small_task(catalogue(["a", "b"], releases), [board("a", *versions), board("b", *versions)])
    assert outcomes(question) == {PlanOutcome.BOUND_EXCEEDED}


def test_one_part_without_a_plan_leaves_the_whole_without_one() -> None:
    yes, no, unknown = {PlanOutcome.PLAN}, {PlanOutcome.NO_PLAN}, {PlanOutcome.BOUND_EXCEEDED}
    assert of_all([]) == yes
    assert of_all([yes, unknown, no]) == no
    assert of_all([yes, unknown]) == unknown
    assert of_all([yes, yes | no]) == yes | no
    assert of_all([unknown, yes | no]) == unknown | no
