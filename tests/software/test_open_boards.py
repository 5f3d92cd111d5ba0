"""What is on a board may be open: there is a plan for each case, and it is the plan of that case alone."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

import pytest

from service.domain.place import Place
from service.domain.software.bound import MOST_CASES
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Case, Plans, plans
from service.domain.software.releases import Release, software
from service.domain.software.task import Aim, Carried, all_that_runs
from service.domain.software.versions import parse_version
from service.domain.terms import PartNumber, RoleId
from tests.oracles.software_cases import Instance
from tests.software.asked import place, planned, task, told
from tests.software.drawn import SUITE, cases
from tests.software.told import PART, board, catalogue
from tests.software.told import task as small_task


def in_case(found: Plans, carried: Mapping[str, str]) -> Plans:
    """What the plans come to when it turns out what is on the open boards."""

    def holds(when: Mapping[Place, Carried]) -> bool:
        return all(str(version) == carried[str(at)] for at, version in when.items())

    def chosen(block: tuple[Case, ...]) -> Case:
        (case,) = (case for case in block if any(holds(when) for when in case.when))
        return replace(case, when=({},))

    return Plans(blocks=tuple(replace(each, cases=(chosen(each.cases),)) for each in found.blocks))


def opened(case: Instance, at: list[int]) -> Iterator[Instance]:
    """The case with every listed release on the boards that are open."""
    choices = [
        [each.version for each in case.releases[role]] if number in at else [case.carries[number]]
        for number, (_, role, _) in enumerate(case.places)
    ]
    yield from (replace(case, carries=carries) for carries in product(*choices))


def differing(case: Instance, at: list[int], aim: Aim) -> list[str]:
    found = plans(task(case, aim, open_at=at))
    differences = []
    for settled in opened(case, at):
        carried = {
            str(place(name)): version
            for (name, _, _), version in zip(case.places, settled.carries, strict=True)
        }
        mine, alone = told(task(case, aim), in_case(found, carried)), planned(settled, aim)
        if mine != alone:
            differences.append(f"{settled.carries}: {mine}, alone {alone}")
    return differences


@pytest.mark.parametrize("aim", Aim)
@pytest.mark.parametrize("seed", SUITE[:8])
def test_each_case_has_its_own_plan(seed: int, aim: Aim) -> None:
    rng = random.Random(seed)
    for case in cases(seed)[:4]:
        numbers = range(len(case.places))
        at = rng.sample(numbers, min(2, len(numbers)))
        assert differing(case, at, aim) == []


MAIN_AND_RAIN = catalogue(
    ["main", "panel", "rain"],
    {
        "main 1.0.0": {},
        "main 2.0.0": {"panel": "^2", "over": "^1"},
        "panel 1.0.0": {},
        "panel 2.0.0": {},
        "rain 1.0.0": {},
    },
)


def test_cases_are_told_apart_in_their_own_block() -> None:
    boards = [board("main", "1.0.0", "2.0.0"), board("panel", "2.0.0"), board("rain", "1.0.0")]
    found = plans(small_task(MAIN_AND_RAIN, boards, main="^1 || ^2", panel="^2"))
    main, rain = found.blocks
    assert [place.role for place in main.places] == ["main", "panel"]
    assert [(len(case.when), len(case.loads)) for case in main.cases] == [(1, 0), (1, 1)]
    assert [(case.when, case.loads) for case in rain.cases] == [(({},), ())]


def test_cases_with_the_same_loads_are_one() -> None:
    boards = [board("main", "1.0.0", None), board("panel", "1.0.0", "2.0.0")]
    found = plans(small_task(MAIN_AND_RAIN, boards, Aim.LEAST_CHANGE, main="=1.0.0"))
    assert sorted((len(block.places), len(block.cases)) for block in found.blocks) == [(2, 2)]
    assert [len(case.when) for case in found.blocks[0].cases] == [2, 2]


def test_some_cases_have_a_plan_and_others_none() -> None:
    listed = catalogue(["main"], {"main 2.0.0": {"over": "^1"}})
    found = plans(small_task(listed, [board("main", "1.0.0", None)]))
    assert found.outcomes == {PlanOutcome.PLAN, PlanOutcome.NO_PLAN}


def test_a_block_without_a_plan_leaves_the_whole_without_one() -> None:
    listed = catalogue(["main", "rain"], {"main 2.0.0": {"over": "^1"}, "rain 1.0.0": {}})
    found = plans(small_task(listed, [board("main", None), board("rain", "1.0.0")]))
    assert [len(block.cases) for block in found.blocks] == [1, 1]
    assert found.outcomes == {PlanOutcome.NO_PLAN}


def test_too_many_cases_are_not_planned_and_said_so() -> None:
    releases: dict[str, dict[str, str]] = {
        f"{role} {n}.0.0": {} for role in ("a", "b", "c") for n in range(1, 8)
    }
    releases["a 7.0.0"] = {"b": "=7.0.0", "c": "=7.0.0"}
    listed = catalogue(["a", "b", "c"], releases)
    boards = [board(role, *(f"{n}.0.0" for n in range(1, 8))) for role in ("a", "b", "c")]
    question = small_task(listed, boards)
    assert MOST_CASES < 7**3
    assert plans(question).outcomes == {PlanOutcome.BOUND_EXCEEDED}
    read = replace(question, boards=(board("a", "1.0.0"), *boards[1:]))
    assert plans(read).outcomes == {PlanOutcome.PLAN}


def test_nothing_that_does_not_run_on_a_part_may_be_on_it() -> None:
    limited = Release(role=RoleId("main"), version=parse_version("2.0.0"), parts=frozenset((PART,)))
    free = Release(role=RoleId("main"), version=parse_version("1.0.0"))
    listed = software([RoleId("main")], [limited, free])
    other = PartNumber("another-part")
    assert {str(each) for each in all_that_runs(listed, RoleId("main"), PART)} == {"1.0.0", "2.0.0"}
    assert {str(each) for each in all_that_runs(listed, RoleId("main"), other)} == {"1.0.0"}
    assert all_that_runs(listed, RoleId("lift"), PART) == frozenset()
