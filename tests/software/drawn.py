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


@cache
def large_cases(seed: int) -> tuple[Instance, ...]:
    """Up to seven boards of three releases."""
    rng = random.Random(-1 - seed)
    return tuple(instance(rng, 7, 3) for _ in range(5))


def graphs(seed: int, *, large: bool = False) -> Iterator[tuple[Instance, StateGraph]]:
    for case in large_cases(seed) if large else cases(seed):
        yield case, StateGraph(case)
