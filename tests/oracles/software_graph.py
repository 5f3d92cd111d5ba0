"""Software plans by a graph library: every state in reach is a node, every allowed load an edge."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import networkx as nx

from tests.oracles.software_cases import Instance, PlainRelease

Carried = tuple[str, ...]
Move = tuple[str, str]
BEYOND: Carried = ("beyond every end",)


class StateGraph:
    """The explicit product of one instance, from what is on the boards now."""

    def __init__(self, instance: Instance, at_odds: frozenset[tuple[int, int]] | None = None) -> None:
        """Take an instance; `at_odds` are the pairs let off on the way, by default those of its start."""
        self.case = instance
        self.listed = {
            (role, each.version): each for role, listed in instance.releases.items() for each in listed
        }
        self.start: Carried = instance.carries
        self.at_odds = at_odds if at_odds is not None else self.odd_pairs(self.start)
        self.graph: nx.DiGraph[Carried] = nx.DiGraph()
        self._grow()

    def release(self, place: int, version: str) -> PlainRelease | None:
        return self.listed.get((self.case.places[place][1], version))

    def meets(self, place: int, version: str, other: int, beside: str) -> bool:
        """Whether what is on one board has what it needs of another one."""
        each = self.release(place, version)
        need = each.needs.get(self.case.places[other][1]) if each else None
        return need is None or beside in need[0]

    def odd_pairs(self, state: Carried) -> frozenset[tuple[int, int]]:
        return frozenset(
            (one, two)
            for one, two in combinations(range(len(state)), 2)
            if not self.meets(one, state[one], two, state[two])
            or not self.meets(two, state[two], one, state[one])
        )

    def usable(self, place: int, each: PlainRelease) -> bool:
        there = {role for _, role, _ in self.case.places}
        return (
            (each.parts is None or self.case.places[place][2] in each.parts)
            and (each.models is None or self.case.model in each.models)
            and all(role in there for role, (_, must) in each.needs.items() if must)
        )

    def moves(self, state: Carried) -> Iterator[tuple[int, Carried]]:
        """The allowed loads in a state, the first board's first and its newest release first."""
        for place, (_, role, _) in enumerate(self.case.places):
            for each in reversed(self.case.releases[role]):
                loads = each.loads_from is None or state[place] in each.loads_from
                after = (*state[:place], each.version, *state[place + 1 :])
                moves = state != after and loads and self.usable(place, each)
                if moves and self.odd_pairs(after) <= self.at_odds:
                    yield place, after

    def _grow(self) -> None:
        self.graph.add_node(self.start)
        todo = [self.start]
        while todo:
            state = todo.pop()
            for _, after in self.moves(state):
                if after not in self.graph:
                    todo.append(after)
                self.graph.add_edge(state, after)

    def is_end(self, state: Carried) -> bool:
        for place, version in enumerate(state):
            each, role = self.release(place, version), self.case.places[place][1]
            if each is None or not self.usable(place, each):
                return False
            if role in self.case.wanted and version not in self.case.wanted[role]:
                return False
        return not self.odd_pairs(state)

    def ends(self) -> list[Carried]:
        """The sets that go together and can be reached, the newest first."""
        found = [state for state in self.graph if self.is_end(state)]
        return sorted(found, key=self._ages)

    def _ages(self, state: Carried) -> list[int]:
        """For each board how many of its releases are newer."""
        ages = []
        for place, version in enumerate(state):
            versions = [each.version for each in self.case.releases[self.case.places[place][1]]]
            ages.append(len(versions) - versions.index(version))
        return ages

    def plan(self, ends: list[Carried]) -> list[Move] | None:
        """The plan of fewest loads to one of these ends that loads the first board at every step."""
        if not ends:
            return None
        reverse = self.graph.reverse()
        reverse.add_edges_from((BEYOND, end) for end in ends)
        left = nx.single_source_shortest_path_length(reverse, BEYOND)
        state, plan = self.start, []
        while left[state] > 1:
            place, state = next(
                (place, after) for place, after in self.moves(state) if left.get(after) == left[state] - 1
            )
            plan.append((self.case.places[place][0], state[place]))
        return plan

    def newest(self) -> list[Move] | None:
        return self.plan(self.ends()[:1])

    def least(self) -> list[Move] | None:
        return self.plan(self.ends())
