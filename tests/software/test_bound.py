"""Past its bound a search says so; it never says that there is no plan where one was not looked for."""

from __future__ import annotations

import pytest

from service.domain.software import bound
from service.domain.software.bound import BoundExceeded
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import plans
from service.domain.software.task import Aim
from service.domain.software.why_not import why_not
from tests.software.asked import all_sets, in_one_sequence, plain, task
from tests.software.drawn import SUITE, graphs
from tests.software.told import board, catalogue
from tests.software.told import task as small_task


def test_with_a_small_bound_answers_are_right_or_left_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bound, "MOST_STEPS", 3)
    outcomes: list[PlanOutcome] = []
    for case, graph in (each for seed in SUITE[:8] for each in graphs(seed)):
        question = task(case, Aim.LEAST_CHANGE)
        found = plans(question)
        outcomes += found.outcomes
        if found.outcomes == {PlanOutcome.PLAN}:
            assert plain(in_one_sequence(question, found)) == graph.least()
        elif found.outcomes == {PlanOutcome.NO_PLAN}:
            assert graph.ends() == []
    assert all(outcomes.count(outcome) >= 3 for outcome in PlanOutcome)


TANGLED = catalogue(
    [f"role{at}" for at in range(8)],
    {
        f"role{at} {n}.0.0": {
            f"role{other}": f">={max(1, n - 3)} <={n + 3}" for other in range(8) if other != at
        }
        for at in range(8)
        for n in range(1, 13)
    }
    | {f"role{at} 13.0.0": {f"role{(at + 1) % 3}": "=13.0.0"} for at in range(3)},
)
"""Eight boards that all need each other, twelve releases each. Three have one more, each of them to be loaded
after the next one's, round in a circle: no plan leads there, and no two of the boards show why."""


def test_what_cannot_be_looked_through_is_left_open() -> None:
    boards = [board(f"role{at}", "1.0.0") for at in range(8)]
    tangled = small_task(TANGLED, boards, Aim.LEAST_CHANGE, role0="=13.0.0")
    assert plans(tangled).outcomes == {PlanOutcome.BOUND_EXCEEDED}


def test_sets_and_explanations_pass_the_bound_on(monkeypatch: pytest.MonkeyPatch) -> None:
    listed = catalogue(["main"], {"main 1.0.0": {}, "main 2.0.0": {"over": "=1.5.0"}})
    question = small_task(listed, [board("main", "1.0.0")], main="^2")
    assert len(why_not(question)) == 2
    monkeypatch.setattr(bound, "MOST_STEPS", 0)
    with pytest.raises(BoundExceeded):
        next(all_sets(question))
