"""What a worker holds in memory that is asked questions that are hardly ever asked twice.

A shop asks about the same machines again and again, and so does `python -m tests.soak`; what follows from a
question is remembered. Here every question is another one, so that all that is remembered comes to its bound.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from random import Random

from tests.soak.judging import MOST
from tests.soak.load import as_fast_as_it_goes, written
from tests.soak.processes import cpu, sample
from tests.soak.running import a_served_shop
from tests.soak.varied import any_question
from tests.support.keys import SUITE

CLIENTS = 4
QUESTIONS = 10_000
SECONDS = 5.0
"""Between two looks at the worker."""


def main() -> int:
    """Measure it; 0 where it stays below what is allowed."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.variety", description=__doc__)
    parser.add_argument("--questions", type=int, default=QUESTIONS, help=f"at least ({QUESTIONS:,})")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="boardfit-variety-") as name:
        most = max(held(Path(name), given.questions))
    print(f"at most {most:.1f} MiB, {MOST} are allowed")
    return int(most > MOST)


def held(folder: Path, questions: int) -> Iterator[float]:
    """MiB of a worker's own, until it was asked so much. Raises AssertionError where one is not answered."""
    url, one_worker = f"sqlite:///{folder / 'shop.db'}", {"BOARDFIT_WORKERS": "1"}
    with a_served_shop(url, folder, one_worker) as shop:
        (worker,) = shop.server.workers()
        random, asked = Random(1), 0
        requests = (written(any_question(random), SUITE.written()) for _ in count())
        while asked < questions:
            before = cpu(worker)
            found = as_fast_as_it_goes(shop.server.port, requests, CLIENTS, SECONDS)
            assert found.unexpected == 0, f"{found.unexpected} of {len(found.times)} were not answered"
            asked += len(found.times)
            looked = sample(worker, 0.0)
            assert looked is not None, "the worker ended"
            spent, memory = (looked.cpu - before) / len(found.times), looked.memory / 2**20
            print(f"{asked:7,} questions: {memory:6.1f} MiB, {spent * 1000:.1f} ms each", flush=True)
            yield memory


if __name__ == "__main__":
    sys.exit(main())
