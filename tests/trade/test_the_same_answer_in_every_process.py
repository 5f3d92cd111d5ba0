"""One question has one answer, to the letter, in whichever worker it is answered.

The order of a set of texts differs from process to process; an answer that follows it is another answer to
a cache, and two workers contradict each other.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
SEEDS = ("1", "2", "3")
PROGRAM = """
from service.pictures.svg import drawn
from tests.pictures.shown import pictures
from tests.trade.case_files import answered, cases
from tests.trade.told import fit_text
for case in cases():
    if "question" in case.given and not case.name.startswith("demo"):
        print(fit_text(answered(case), case.shop.names))
for _, picture in pictures("en", 0, 6):
    print(drawn(picture))
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


def test_answers_do_not_follow_the_order_of_sets() -> None:
    first, *others = map(printed, SEEDS)
    assert first.count("\n") > 500
    assert [other == first for other in others] == [True] * len(others)
