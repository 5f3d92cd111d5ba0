"""Replacement chains against a graph library (networkx): the ends are the sinks of the condensed graph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace as changed
from functools import cache

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from service.demo.world import demo_catalogue
from service.domain.catalogue.model import Catalogue, Part, Replacement
from service.domain.parts.chain import current, replaced_by
from service.domain.terms import ModelId, PartNumber
from service.papers import read_catalogue

NAMES = [PartNumber(f"P{number}") for number in range(7)]
MODELS = [ModelId("a"), ModelId("b")]


@cache
def template() -> Catalogue:
    return read_catalogue(demo_catalogue())


def catalogue(edges: Mapping[PartNumber, list[Replacement]]) -> Catalogue:
    """The demo's catalogue with parts that have nothing but a place in a chain."""
    any_part = next(iter(template().parts.values()))
    parts: dict[PartNumber, Part] = {
        name: changed(any_part, number=name, listings=(), replaces=tuple(edges.get(name, ())))
        for name in NAMES
    }
    return changed(template(), parts=parts)


rows = st.builds(
    Replacement,
    part=st.sampled_from(NAMES),
    both_ways=st.booleans(),
    models=st.sampled_from([None, frozenset(MODELS[:1]), frozenset(MODELS)]),
)
graphs = st.dictionaries(st.sampled_from(NAMES), st.lists(rows, max_size=3), max_size=len(NAMES))


def graph(of: Catalogue, model: ModelId | None) -> nx.DiGraph[PartNumber]:
    """Older to newer, told from the catalogue's rows and not from the code under test."""
    made: nx.DiGraph[PartNumber] = nx.DiGraph()
    made.add_nodes_from(of.parts)
    for part in of.parts.values():
        for row in part.replaces:
            if model is None or row.models is None or model in row.models:
                made.add_edge(row.part, part.number)
    return made


@given(graphs, st.sampled_from(NAMES), st.sampled_from([None, *MODELS]))
def test_the_ends_of_a_chain_are_the_sinks(
    edges: Mapping[PartNumber, list[Replacement]], start: PartNumber, model: ModelId | None
) -> None:
    of = catalogue(edges)
    condensed = nx.condensation(graph(of, model))
    own = condensed.graph["mapping"][start]
    ends = {node for node in {own, *nx.descendants(condensed, own)} if condensed.out_degree(node) == 0}
    expected = set().union(*(condensed.nodes[node]["members"] for node in ends))
    found = set(current(of, start, model))
    assert found == ({start} if start in expected else expected)


@given(graphs, st.sampled_from(NAMES), st.sampled_from([None, *MODELS]))
def test_what_replaces_a_part_is_what_follows_it_in_the_graph(
    edges: Mapping[PartNumber, list[Replacement]], number: PartNumber, model: ModelId | None
) -> None:
    of = catalogue(edges)
    assert set(replaced_by(of, number, model)) == set(graph(of, model).successors(number))
