"""The sets that go together are those that a walk through all combinations finds, the newest first."""

from __future__ import annotations

from itertools import product

import pytest

from service.domain.software.ranges import parse_range
from service.domain.software.releases import Need, Release, software
from service.domain.software.versions import parse_version
from service.domain.terms import RoleId
from tests.oracles.software_cases import Instance
from tests.oracles.software_graph import Carried, StateGraph
from tests.software.asked import all_sets, task
from tests.software.drawn import SUITE, cases


def by_brute_force(case: Instance) -> list[Carried]:
    graph = StateGraph(case, frozenset())
    releases = [[each.version for each in reversed(case.releases[role])] for _, role, _ in case.places]
    return [state for state in product(*releases) if graph.is_end(state)]


@pytest.mark.parametrize("seed", SUITE)
def test_all_sets_in_their_order(seed: int) -> None:
    for case in cases(seed)[:5]:
        assert [tuple(map(str, each.values())) for each in all_sets(task(case))] == by_brute_force(case)


MAIN = RoleId("main")


def test_two_releases_of_one_version_are_refused() -> None:
    twice = [Release(role=MAIN, version=parse_version(text)) for text in ("1.0.0+a", "1.0.0+b")]
    with pytest.raises(ValueError, match="one version"):
        software([MAIN], twice)


def test_a_release_of_no_role_and_a_need_of_a_role_without_software_are_refused() -> None:
    lone = Release(role=MAIN, version=parse_version("1.0.0"))
    with pytest.raises(ValueError, match="role main"):
        software([], [lone])
    needs = {RoleId("lift"): Need(range=parse_range("*"))}
    with pytest.raises(ValueError, match="role lift"):
        software([MAIN, RoleId("lift")], [Release(role=MAIN, version=parse_version("1.0.0"), needs=needs)])


def test_a_release_is_found_by_its_version() -> None:
    listed = software([MAIN], [Release(role=MAIN, version=parse_version("1.0.0+a"))])
    found = listed.release(MAIN, parse_version("1.0.0"))
    assert found is not None
    assert str(found.version) == "1.0.0+a"
    assert listed.release(MAIN, parse_version("1.0.1")) is None
    assert listed.release(RoleId("lift"), parse_version("1.0.0")) is None
