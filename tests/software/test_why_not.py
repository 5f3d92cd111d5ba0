"""An explanation rules every plan out, and nothing can be left out of it.

Both are asked of the graph library, on the case without the other facts.
"""

from __future__ import annotations

import pytest

from service.domain.software.facts import FactKind
from service.domain.software.task import Aim
from service.domain.software.why_not import why_not
from tests.oracles.software_cases import Facts, Instance, PlainRelease
from tests.oracles.software_graph import StateGraph
from tests.software.asked import plain_fact, task
from tests.software.drawn import DEEP, SUITE, graphs


def leaves_a_plan(case: Instance, graph: StateGraph, held: Facts) -> bool:
    """By the graph library, with these facts alone."""
    return bool(StateGraph(case.without(case.facts() - held), graph.at_odds).ends())


def flaws(case: Instance, graph: StateGraph) -> list[str]:
    """What is wrong with the explanation of a case that has no plan."""
    explained = why_not(task(case))
    held = frozenset(map(plain_fact, explained))
    spare = [fact for fact in sorted(held) if not leaves_a_plan(case, graph, held - {fact})]
    found = [f"spare: {fact}" for fact in spare]
    if not held <= case.facts() or len(held) != len(explained) or leaves_a_plan(case, graph, held):
        found.append(f"rules nothing out: {sorted(held)}")
    return found


def flawed(seed: int) -> list[str]:
    return [
        f"{found}\n{case}"
        for case, graph in graphs(seed)
        if not graph.ends() and (found := flaws(case, graph))
    ]


@pytest.mark.parametrize("seed", SUITE)
def test_an_explanation_is_minimal(seed: int) -> None:
    assert flawed(seed) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", DEEP)
def test_an_explanation_is_minimal_deep(seed: int) -> None:
    assert flawed(seed) == []


OLD_PANEL = Instance(
    roles=("main", "panel"),
    releases={
        "main": (
            PlainRelease("1.0.0"),
            PlainRelease("2.0.0", needs={"panel": (("2.0.0",), False)}, loads_from=("1.0.0",)),
        ),
        "panel": (PlainRelease("1.0.0"), PlainRelease("2.0.0", parts=("new",))),
    },
    places=(("main", "main", "new"), ("panel", "panel", "old")),
    carries=("1.0.0", "1.0.0"),
    wanted={"main": ("2.0.0",)},
)
"""The newer main software wants newer panel software, which the old panel cannot run."""


def test_an_explanation_names_the_need_the_part_and_the_wish() -> None:
    found = why_not(task(OLD_PANEL, Aim.LEAST_CHANGE))
    assert [(fact.kind, fact.role, fact.other) for fact in found] == [
        (FactKind.WANTED, "main", None),
        (FactKind.NEEDS, "main", "panel"),
        (FactKind.PARTS, "panel", None),
    ]


def test_where_there_is_a_plan_nothing_is_explained() -> None:
    with pytest.raises(ValueError, match="there is a plan"):
        why_not(task(OLD_PANEL.without(frozenset({("wanted", "main")}))))


def test_what_is_open_is_not_explained() -> None:
    with pytest.raises(ValueError, match="each case"):
        why_not(task(OLD_PANEL, open_at=[0]))
