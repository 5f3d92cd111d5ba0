"""The random cases of these tests, from seeds, with what the graph library knows of each."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache

from tests.oracles.software_cases import Instance, instance
from tests.oracles.software_graph import StateGraph

SUITE = range(20)
DEEP = range(1000, 1200)
A_SEED = 10
"""Cases of one seed: 200 in the suite, 2,000 in the deep run."""


@cache
def cases(seed: int) -> tuple[Instance, ...]:
    rng = random.Random(seed)
    return tuple(instance(rng) for _ in range(A_SEED))


def graphs(seed: int) -> Iterator[tuple[Instance, StateGraph]]:
    for case in cases(seed):
        yield case, StateGraph(case)
