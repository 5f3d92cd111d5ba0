"""Fewest loads against the graph library, in problems drawn bit by bit and with nothing spared.

One search is asked from every state in turn and within every number of loads: what it has learned from one
question must not mislead it in the next.
"""

from __future__ import annotations

import random
from itertools import combinations, product

import networkx as nx
import pytest

from service.domain.place import Place
from service.domain.software.cover import leaders
from service.domain.software.problem import Lane, Problem, State
from service.domain.software.search import Search
from service.domain.software.sets import newest_reached, sets_that_go_together
from service.domain.terms import RoleId

SEEDS = (*range(60), 1234)
"""In the last a second way to where the leaders stood before leaves more open to the others."""
DEEP = range(1000, 3000)


def drawn(rng: random.Random) -> Problem:
    """Boards with loads and pairs at random: sometimes all of them joined, sometimes a few."""
    lanes = tuple(lane(rng, at) for at in range(rng.randint(2, 4)))
    joined, going = rng.choice((0.5, 1)), rng.choice((0.6, 0.8))
    pairs = {}
    for one, two in combinations(range(len(lanes)), 2):
        if rng.random() < joined:
            wide, narrow = len(lanes[one].nodes), len(lanes[two].nodes)
            goes = [[rng.random() < going for _ in range(narrow)] for _ in range(wide)]
            pairs[one, two] = tuple(mask(row) for row in goes)
            pairs[two, one] = tuple(mask(column) for column in zip(*goes, strict=True))
    odd = {pair for pair in pairs if pair[0] < pair[1] and rng.random() < 0.1}
    return Problem(lanes=lanes, pairs=pairs, exempt=frozenset(odd | {(two, one) for one, two in odd}))


def lane(rng: random.Random, at: int) -> Lane:
    nodes = rng.randint(3, 5)
    loads = tuple(mask([rng.random() < 0.35 and to != over for to in range(nodes)]) for over in range(nodes))
    goal = mask([rng.random() < 0.5 for _ in range(nodes)])
    return Lane(place=Place(RoleId(f"role{at}")), nodes=(None,) * nodes, start=1, goal=goal, loads=loads)


def mask(row: list[bool] | tuple[bool, ...]) -> int:
    return sum(1 << at for at, bit in enumerate(row) if bit)


def go_together(problem: Problem, state: State, *, all_pairs: bool) -> bool:
    return all(
        rows[state[one]] >> state[two] & 1
        for (one, two), rows in problem.pairs.items()
        if all_pairs or (one, two) not in problem.exempt
    )


def states(problem: Problem) -> list[State]:
    """Every state that is allowed on the way."""
    every = product(*(range(len(lane.nodes)) for lane in problem.lanes))
    return [state for state in every if go_together(problem, state, all_pairs=False)]


def is_end(problem: Problem, state: State) -> bool:
    wanted = all(lane.goal >> node & 1 for lane, node in zip(problem.lanes, state, strict=True))
    return wanted and go_together(problem, state, all_pairs=True)


def graph_of(problem: Problem) -> nx.DiGraph[State]:
    graph: nx.DiGraph[State] = nx.DiGraph()
    graph.add_nodes_from(states(problem))
    for state in graph:
        for at, each in enumerate(problem.lanes):
            for node in range(len(each.nodes)):
                after = (*state[:at], node, *state[at + 1 :])
                if each.loads[state[at]] >> node & 1 and after in graph:
                    graph.add_edge(state, after)
    return graph


def differences(seed: int) -> list[str]:
    rng = random.Random(seed)
    problem = drawn(rng)
    graph = graph_of(problem)
    ends = [state for state in graph if is_end(problem, state)]
    left = nx.multi_source_dijkstra_path_length(graph.reverse(), set(ends)) if ends else {}
    search, found = Search(problem), []
    for state in rng.sample(sorted(graph), min(25, len(graph))):
        wanted: int | None = left.get(state)  # type: ignore[assignment]  # lengths are whole here
        most = 6 if wanted is None else wanted + 1
        in_turn = [search.fewest(state, within) for within in range(most + 1)]
        if in_turn != [
            wanted if wanted is not None and wanted <= within else None for within in range(most + 1)
        ]:
            found.append(f"from {state}: {in_turn}, the graph has {wanted}")
        if search.fewest(state) != wanted:
            found.append(f"from {state}: {search.fewest(state)}, the graph has {wanted}")
        newest = min((end for end in ends if nx.has_path(graph, state, end)), default=None)
        if newest_reached(problem, state) != newest:
            found.append(f"from {state} the newest is {newest}")
    if list(sets_that_go_together(problem)) != sorted(ends):
        found.append(f"not the sets {ends}")
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_the_fewest_loads_are_the_graph_s(seed: int) -> None:
    assert differences(seed) == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", DEEP)
def test_the_fewest_loads_are_the_graph_s_deep(seed: int) -> None:
    assert differences(seed) == []


@pytest.mark.parametrize("seed", range(60))
def test_leaders_are_a_smallest_cover(seed: int) -> None:
    rng = random.Random(seed)
    size = rng.randint(1, 8)
    pairs = [pair for pair in combinations(range(size), 2) if rng.random() < rng.choice((0.2, 0.5, 0.9))]
    both_ways = [*pairs, *((two, one) for one, two in pairs)]
    chosen = leaders(size, both_ways)
    smallest = next(
        count
        for count in range(size + 1)
        for some in combinations(range(size), count)
        if all(one in some or two in some for one, two in pairs)
    )
    assert all(one in chosen or two in chosen for one, two in pairs)
    assert len(chosen) == smallest
