"""What a worker holds in memory that is asked questions that are hardly ever asked twice.

A shop asks about the same machines again and again, and so does `python -m tests.soak`; what follows from a
question is remembered. Here every question is another one, so that all that is remembered comes to its bound.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from random import Random

from tests.soak.load import as_fast_as_it_goes, written
from tests.soak.processes import cpu, sample
from tests.soak.running import Shop, a_served_shop
from tests.soak.varied import any_question
from tests.support.keys import SUITE

CLIENTS = 4
MOST = 150
"""MiB that a worker may hold."""


def main() -> int:
    """Measure it; 0 where it stays below."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.variety", description=__doc__)
    parser.add_argument("--seconds", type=float, default=20.0, help="of each part (20)")
    parser.add_argument("--parts", type=int, default=9, help="after each of which is looked (9)")
    given = parser.parse_args()
    with (
        tempfile.TemporaryDirectory(prefix="boardfit-variety-") as name,
        a_served_shop(f"sqlite:///{name}/shop.db", Path(name), {"BOARDFIT_WORKERS": "1"}) as shop,
    ):
        most = max(held(shop, given.parts, given.seconds))
    print(f"at most {most:.0f} MiB, {MOST} are allowed")
    return int(most > MOST)


def held(shop: Shop, parts: int, seconds: float) -> Iterator[float]:
    """MiB of the worker's own after each part. Raises AssertionError where a question is not answered."""
    (worker,) = shop.server.workers()
    random = Random(1)
    requests = (written(any_question(random), SUITE.written()) for _ in iter(int, 1))
    asked = 0
    for _ in range(parts):
        before = cpu(worker)
        found = as_fast_as_it_goes(shop.server.port, requests, CLIENTS, seconds)
        assert found.unexpected == 0, f"{found.unexpected} of {len(found.times)} were not answered"
        asked += len(found.times)
        looked = sample(worker, 0.0)
        assert looked is not None, "the worker ended"
        spent = (looked.cpu - before) / len(found.times)
        print(
            f"{asked:7,} questions: {looked.memory / 2**20:6.1f} MiB, {spent * 1000:.1f} ms each", flush=True
        )
        yield looked.memory / 2**20


if __name__ == "__main__":
    sys.exit(main())
