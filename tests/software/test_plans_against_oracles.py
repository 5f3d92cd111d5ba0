"""Plans are the graph library's to the last load, and as short as the logic program's.

The graph library has the explicit product of all boards' releases: shortest paths in it, the tie rule worked
out from its distances, and the proof that there is no plan where no end is in reach. The logic program is
asked for the fewest loads, one number after the other. A checker replays every plan by itself.
"""

from __future__ import annotations

import pytest

from service.domain.software.task import Aim
from tests.oracles.software_cases import Instance
from tests.oracles.software_checker import faults
from tests.oracles.software_clingo import fewest
from tests.oracles.software_graph import Carried, StateGraph
from tests.software.asked import planned
from tests.software.drawn import DEEP, SUITE, graphs

A_FEW = 4
"""Loads up to which the logic program looks for a plan where the graph has none."""

Plan = list[tuple[str, str]] | None


def ends_of(case: Instance, plan: Plan) -> Carried:
    """What is on the boards after a plan."""
    state = {name: carried for (name, _, _), carried in zip(case.places, case.carries, strict=True)}
    return tuple({**state, **dict(plan or [])}.values())


def shortest_by_logic(case: Instance, wanted: Plan, named: Carried = ()) -> int | None:
    return fewest(case, A_FEW if wanted is None else len(wanted), named)


def disagreements(seed: int, *, large: bool = False) -> list[str]:
    found = []
    for number, (case, graph) in enumerate(graphs(seed, large=large)):
        found += [f"seed {seed}, case {number}: {why}\n{case}" for why in against_each(case, graph)]
    return found


def against_each(case: Instance, graph: StateGraph) -> list[str]:
    newest, least = planned(case, Aim.NEWEST), planned(case, Aim.LEAST_CHANGE)
    found = []
    if newest != graph.newest():
        found.append(f"newest: {newest}, graph: {graph.newest()}")
    if least != graph.least():
        found.append(f"least change: {least}, graph: {graph.least()}")
    by_logic = shortest_by_logic(case, least)
    if by_logic != (None if least is None else len(least)):
        found.append(f"least change: {least}, logic program: {by_logic}")
    if newest is not None and shortest_by_logic(case, newest, ends_of(case, newest)) != len(newest):
        found.append(f"newest: {newest}, logic program has another length")
    for plan in (newest, least):
        found += faults(case, plan or []) if plan is not None else []
    return found


@pytest.mark.parametrize("seed", SUITE)
def test_plans_are_those_of_both_oracles(seed: int) -> None:
    assert disagreements(seed) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", DEEP)
def test_plans_are_those_of_both_oracles_deep(seed: int) -> None:
    assert disagreements(seed) == []


@pytest.mark.parametrize("seed", SUITE[:4])
def test_plans_for_many_boards_are_those_of_both_oracles(seed: int) -> None:
    assert disagreements(seed, large=True) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", DEEP[:40])
def test_plans_for_many_boards_are_those_of_both_oracles_deep(seed: int) -> None:
    assert disagreements(seed, large=True) == []
