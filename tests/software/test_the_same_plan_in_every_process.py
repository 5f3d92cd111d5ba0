"""One task has one answer in whichever process it is asked: nothing follows the order of a set."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
SEEDS = ("1", "2", "3")
PROGRAM = """
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import plans
from service.domain.software.task import Aim
from service.domain.software.why_not import why_not
from tests.software.asked import plain_fact, task
from tests.software.drawn import cases
for case in (each for seed in range(2) for each in cases(seed)):
    for aim in Aim:
        question = task(case, aim, open_at=[0])
        for block in plans(question).blocks:
            print([(list(each.when), each.outcome, each.loads) for each in block.cases])
    if plans(task(case)).outcomes == {PlanOutcome.NO_PLAN}:
        print(*map(plain_fact, why_not(task(case))))
"""


def printed(seed: str) -> str:
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return run.stdout


def test_plans_do_not_follow_the_order_of_sets() -> None:
    first, *others = map(printed, SEEDS)
    assert first.count("\n") > 40
    assert [other == first for other in others] == [True] * len(others)
