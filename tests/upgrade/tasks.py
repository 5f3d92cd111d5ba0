"""Random tasks of the kinds that upgrades are made of, the same for the same seed."""

from __future__ import annotations

import random
from fractions import Fraction

from service.domain.upgrade.task import Burden, Option, Task

NEEDS = ("n1", "n2", "n3", "n4", "n5")
CALLS = ("session", "test", "setup")
THINGS = ("b1", "b2")


def task(seed: int, blocks: int | None = None) -> Task:
    """Some blocks with a few options each; prices collide often, so that ties are met."""
    rng = random.Random(seed)
    count = blocks or rng.randint(1, 5)
    return Task(
        blocks=tuple(_block(rng) for _ in range(count)),
        shared={name: _burden(rng) for name in CALLS},
        wants=tuple(_want(rng) for _ in range(rng.randint(0, 3))),
        stock={name: rng.randint(0, 2) for name in THINGS},
    )


def _block(rng: random.Random) -> tuple[Option, ...]:
    size = rng.choice((0, 1, 2, 3, 3, 4)) if rng.random() < 0.1 else rng.randint(1, 4)
    return tuple(_option(rng, f"o{at}") for at in rng.sample(range(9), size))


def _option(rng: random.Random, name: str) -> Option:
    return Option(
        name=name,
        burden=_burden(rng),
        gives=frozenset(rng.sample(NEEDS, rng.randint(0, 3))),
        calls=frozenset(rng.sample(CALLS, rng.randint(0, 2))),
        takes={thing: 1 for thing in THINGS if rng.random() < 0.25},
    )


def _burden(rng: random.Random) -> Burden:
    return Burden(
        Fraction(rng.randint(0, 6), rng.choice((1, 1, 2, 3))), rng.randint(0, 2), 5 * rng.randint(0, 3)
    )


def _want(rng: random.Random) -> tuple[frozenset[str], ...]:
    return tuple(frozenset(rng.sample(NEEDS, rng.randint(1, 2))) for _ in range(rng.randint(1, 3)))
