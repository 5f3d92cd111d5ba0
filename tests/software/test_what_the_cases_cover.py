"""The random cases are worth asking: each thing that makes a plan hard comes up often."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import islice, product

import networkx as nx
import pytest

from service.domain.software.plans import plans
from service.domain.software.why_not import why_not
from tests.oracles.software_cases import NOTHING, UNLISTED, VERSIONS, Instance
from tests.oracles.software_graph import StateGraph
from tests.software.asked import plain_fact, task
from tests.software.drawn import A_SEED, SUITE, graphs

LEAST = {
    "no plan": 0.15,
    "no load": 0.05,
    "five loads and more": 0.08,
    "several shortest plans": 0.25,
    "boards at odds": 0.1,
    "the newest set is out of reach": 0.04,
    "a load more than each board by itself": 0.03,
    "a release loaded on the way": 0.15,
    "a role twice": 0.1,
    "a role without a board": 0.05,
    "several blocks": 0.1,
    "unlisted or nothing": 0.1,
    "explained by needs": 0.05,
    "explained by loads_from": 0.05,
    "explained by parts": 0.01,
    "explained by models": 0.01,
    "explained by wanted": 0.02,
    "explained by three facts and more": 0.05,
}
"""The least share of all cases in which each comes up."""


def marks(case: Instance, graph: StateGraph) -> Iterator[str]:
    """What is to be said of a case."""
    ends = graph.ends()
    plan = graph.newest()
    if plan is None:
        yield "no plan"
        facts = [plain_fact(fact) for fact in why_not(task(case))]
        yield from {f"explained by {kind}" for kind, *_ in facts}
        if len(facts) >= 3:
            yield "explained by three facts and more"
    else:
        yield from _of_plan(case, graph, plan)
        paths = nx.all_shortest_paths(graph.graph, graph.start, ends[0])
        if len(list(islice(paths, 2))) > 1:
            yield "several shortest plans"
    if graph.at_odds:
        yield "boards at odds"
    roles = [role for _, role, _ in case.places]
    if len(set(roles)) < len(roles):
        yield "a role twice"
    if set(case.roles) - set(roles):
        yield "a role without a board"
    if {UNLISTED, NOTHING} & set(case.carries):
        yield "unlisted or nothing"
    if len(plans(task(case)).blocks) > 1:
        yield "several blocks"


def _of_plan(case: Instance, graph: StateGraph, plan: list[tuple[str, str]]) -> Iterator[str]:
    loads = Counter(place for place, _ in plan)
    if not plan:
        yield "no load"
    if len(plan) >= 5:
        yield "five loads and more"
    if max(loads.values(), default=0) > 1:
        yield "a release loaded on the way"
    boards = [_by_itself(graph, at) for at in range(len(case.places))]
    newest_first = ([v for v in reversed(VERSIONS) if v in board] for board in boards)
    if next(state for state in product(*newest_first) if graph.is_end(state)) != graph.ends()[0]:
        yield "the newest set is out of reach"
    names = [name for name, _, _ in case.places]
    if sum(boards[names.index(place)][version] for place, version in dict(plan).items()) < len(plan):
        yield "a load more than each board by itself"


def _by_itself(graph: StateGraph, at: int) -> dict[str, int]:
    """The fewest loads of one board to each release, the others left aside."""
    role = graph.case.places[at][1]
    listed = [each for each in graph.case.releases[role] if graph.usable(at, each)]
    loads: nx.DiGraph[str] = nx.DiGraph()
    loads.add_node(graph.start[at])
    for over in {*(each.version for each in listed), graph.start[at]}:
        targets = (each for each in listed if each.loads_from is None or over in each.loads_from)
        loads.add_edges_from((over, each.version) for each in targets)
    return dict(nx.single_source_shortest_path_length(loads, graph.start[at]))


@cache
def counted() -> Counter[str]:
    return Counter(mark for seed in SUITE for case, graph in graphs(seed) for mark in marks(case, graph))


@pytest.mark.parametrize("mark", LEAST)
def test_a_share_of_the_cases_has_it(mark: str) -> None:
    assert counted()[mark] >= LEAST[mark] * len(SUITE) * A_SEED, counted()[mark]
