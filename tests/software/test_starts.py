"""Every way in which boards may start, and what becomes of it: those that are alike are told as one."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

import pytest

from service.domain.software.bound import BoundExceeded
from service.domain.software.starts import Start, Starts
from service.domain.software.task import Carried
from tests.oracles.software_cases import Instance
from tests.oracles.software_checker import faults
from tests.oracles.software_graph import StateGraph
from tests.software.asked import carried, plain, task
from tests.software.drawn import cases
from tests.software.told import board, catalogue
from tests.software.told import task as small_task


def opened(seed: int) -> Iterator[tuple[Instance, Starts, dict[tuple[Carried, ...], Start]]]:
    """Cases with two boards of which nothing is known, and every way to start by what is on the boards."""
    rng = random.Random(seed)
    for case in cases(seed):
        open_at = rng.sample(range(len(case.places)), min(2, len(case.places)))
        starts = Starts(task(case, open_at=open_at))
        yield case, starts, {each: start for start in starts.all for each in product(*start.carried)}


def settled(case: Instance, names: tuple[str, ...]) -> StateGraph:
    return StateGraph(Instance(case.roles, case.releases, case.places, names, case.wanted, case.model))


@pytest.mark.parametrize("seed", range(2))
def test_each_start_has_the_outcome_of_its_own(seed: int) -> None:
    told = 0
    for case, starts, ways in opened(seed):
        listed = [[each.version for each in case.releases[role]] for _, role, _ in case.places]
        for names in product(*(dict.fromkeys([*each, case.carries[at]]) for at, each in enumerate(listed))):
            start = ways.get(tuple(map(carried, names)))
            if start is not None:
                graph = settled(case, names)
                assert starts.possible(start) is bool(graph.ends())
                assert start.fits_now is graph.is_end(names)
                told += 1
    assert told >= 100


@pytest.mark.parametrize("seed", range(2))
def test_the_loads_of_a_start_can_be_worked_from_all_that_are_alike(seed: int) -> None:
    loaded = 0
    for case, starts, ways in opened(seed):
        for on_boards, start in ways.items():
            loads = starts.loads(start)
            if loads is not None:
                names = tuple(str(each) if each else "nothing" for each in on_boards)
                there = Instance(case.roles, case.releases, case.places, names, case.wanted, case.model)
                assert faults(there, plain(loads)) == []
                loaded += bool(loads)
    assert loaded >= 30


def test_releases_of_which_nothing_is_said_are_one_start() -> None:
    releases: dict[str, dict[str, str]] = {f"a {n}.0.0": {} for n in range(1, 100)}
    question = small_task(catalogue(["a"], releases), [board("a", *(f"{n}.0.0" for n in range(1, 100)))])
    assert [len(each.carried[0]) for each in Starts(question).all] == [99]


def test_too_many_starts_are_not_gone_through() -> None:
    releases: dict[str, dict[str, str]] = {f"{r} {n}.0.0": {} for r in ("a", "b") for n in range(1, 41)}
    for n in range(1, 41):
        releases[f"a {n}.0.0"] = {"b": f"={n}.0.0"}
    versions = [f"{n}.0.0" for n in range(1, 41)]
    question = small_task(catalogue(["a", "b"], releases), [board("a", *versions), board("b", *versions)])
    with pytest.raises(BoundExceeded):
        Starts(question)
