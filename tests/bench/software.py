"""What a software plan costs: 8, 12 and 16 boards, and against a general solver where it is installed."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator, Sequence
from importlib.util import find_spec
from statistics import median
from typing import TypeVar

from service.domain.place import Place
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Plans, plans
from service.domain.software.ranges import parse_range
from service.domain.software.releases import Need, Release, software
from service.domain.software.task import Board, Task
from service.domain.software.versions import Version
from service.domain.terms import ModelId, PartNumber, RoleId

SIZES = ((8, 4, 1000), (12, 4, 1000), (16, 4, 300), (12, 6, 300))
"""Boards, releases of each, and instances."""
AGAINST_SOLVER = 30
PART, MODEL = PartNumber("part"), ModelId("model")
T = TypeVar("T")


def software_plans() -> Iterator[str]:
    """From what is on the boards to the newest set in reach, one plan for each instance; one core."""
    for boards, releases, count in SIZES:
        tasks = [random_task(random.Random(seed), boards, releases) for seed in range(count)]
        seconds, found = zip(*(_timed(plans, task) for task in tasks), strict=True)
        left_open = sum(PlanOutcome.BOUND_EXCEEDED in each.outcomes for each in found)
        yield (
            f"{boards} boards of {releases} releases, {count} instances, {median(map(_loads, found))} loads: "
            f"median {median(seconds) * 1e3:.1f} ms, worst {max(seconds) * 1e3:.1f} ms, {left_open} left open"
        )
    yield from _against_solver() if find_spec("ortools") else ["no solver installed to compare with"]


def random_task(rng: random.Random, boards: int, releases: int) -> Task:
    """A unit as they are built: most boards deal with the first one, a few with each other."""
    roles = [RoleId(f"role{at:02}") for at in range(boards)]
    joined = [(role, roles[0]) if rng.random() < 0.5 else (roles[0], role) for role in roles[1:]]
    joined += [(roles[one], roles[two]) for one, two in (rng.sample(range(boards), 2) for _ in range(2))]
    listed = [
        _release(rng, role, number, releases, [two for one, two in joined if one == role])
        for role in roles
        for number in range(1, releases + 1)
    ]
    present = {role: Version(rng.choice((1, 1, 1, 2)), 0, 0) for role in roles}
    return Task(
        software=software(roles, listed),
        model=MODEL,
        boards=tuple(
            Board(place=Place(role), part=PART, may_carry=frozenset((present[role],))) for role in roles
        ),
    )


def _release(rng: random.Random, role: RoleId, number: int, newest: int, needed: Sequence[RoleId]) -> Release:
    """It goes with releases up to two older or newer, and is loaded over some of the older ones."""

    def near() -> Need:
        first, last = max(1, number - rng.randint(0, 2)), min(newest, number + rng.randint(0, 2))
        return Need(range=parse_range(f">={first} <={last}"))

    over = max(1, number - rng.randint(1, 3))
    return Release(
        role=role,
        version=Version(number, 0, 0),
        needs={other: near() for other in needed if rng.random() < 0.8},
        loads_from=parse_range(f">={over} <{number}") if number > 1 else None,
    )


def _loads(found: Plans) -> int:
    return sum(len(block.cases[0].loads) for block in found.blocks)


def _timed(work: Callable[[Task], T], task: Task) -> tuple[float, T]:
    start = time.process_time()
    result = work(task)
    return time.process_time() - start, result


def _against_solver() -> Iterator[str]:
    """The solver is told the set and how many loads it takes, and only looks for such a plan: it is spared
    the proof that the plan is a shortest one."""
    from tests.bench.software_solver import solved  # noqa: PLC0415 - the solver is no part of any extra

    ours: list[float] = []
    theirs: list[float] = []
    for seed in range(AGAINST_SOLVER):
        task = random_task(random.Random(seed), 8, 4)
        seconds, found = _timed(plans, task)
        if found.outcomes != {PlanOutcome.PLAN}:
            continue
        start = time.process_time()
        assert solved(task, found), f"the solver disagrees on instance {seed}"
        ours.append(seconds)
        theirs.append(time.process_time() - start)
    times = median(theirs) / median(ours)
    yield f"{len(ours)} plans for 8 boards: {median(ours) * 1e3:.1f} ms, CP-SAT {median(theirs) * 1e3:.1f} ms"
    yield f"{times:.1f} times"
