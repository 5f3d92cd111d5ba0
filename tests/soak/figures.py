"""Windows of time, medians and slopes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from statistics import median

from tests.soak.processes import Moment, Sample
from tests.soak.seen import Entry

WINDOW = 300.0
"""Seconds, where the run is long enough for six of them."""


@dataclass(frozen=True, slots=True)
class Window:
    """What happened in one stretch of time."""

    begins: float
    ends: float
    requests: int
    failures: int
    """Answers of 500 and above, and requests that had none."""
    median: float
    p99: float
    longest: float
    cpu: float | None
    """Seconds of processor time of all workers for one request."""
    memory: tuple[int, ...]
    """Of each worker, the most in this window; bytes."""
    files: int
    """The most of any worker."""
    connections: int | None
    others: float | None
    """How many processors were at work for others."""


@dataclass(frozen=True, slots=True)
class Slope:
    """A straight line through points (least squares): its rise by one, and the standard error of that."""

    rise: float
    error: float

    @property
    def surely(self) -> float:
        """What the rise is at least, as far as two standard errors tell."""
        return self.rise - 2 * self.error


def width(seconds: float) -> float:
    """Of the windows of a run."""
    return min(WINDOW, seconds / 6)


def quantile(values: Sequence[float], share: float) -> float:
    """The value that so many are not above; 0 where there are none."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else 0.0


def windows(
    entries: Sequence[Entry], samples: Sequence[Sample], moments: Sequence[Moment], seconds: float
) -> list[Window]:
    """The stretches of a run of so many seconds."""
    step = width(seconds)
    edges = [step * turn for turn in range(round(seconds / step) + 1)]
    return [_window(entries, samples, moments, begins, ends) for begins, ends in pairwise(edges)]


def _window(
    entries: Sequence[Entry], samples: Sequence[Sample], moments: Sequence[Moment], begins: float, ends: float
) -> Window:
    asked = [entry for entry in entries if begins <= entry.at < ends]
    looked = [each for each in samples if begins <= each.at < ends]
    machine = [each for each in moments if begins <= each.at < ends]
    times = [entry.seconds for entry in asked]
    return Window(
        begins=begins,
        ends=ends,
        requests=len(asked),
        failures=sum(entry.status == 0 or entry.status >= 500 for entry in asked),
        median=median(times) if times else 0.0,
        p99=quantile(times, 0.99),
        longest=max(times, default=0.0),
        cpu=_cpu_each(asked, looked),
        memory=tuple(
            max(each.memory for each in looked if each.pid == pid) for pid in sorted({e.pid for e in looked})
        ),
        files=max((each.files for each in looked), default=0),
        connections=max((each.connections for each in machine if each.connections is not None), default=None),
        others=_others(machine),
    )


def _cpu_each(asked: Sequence[Entry], looked: Sequence[Sample]) -> float | None:
    """Between the first and the last look at each worker, for each request that ended between them."""
    if len({each.at for each in looked}) < 2:
        return None
    first, last = min(each.at for each in looked), max(each.at for each in looked)
    requests = sum(first <= entry.at < last for entry in asked)
    spent = 0.0
    for pid in {each.pid for each in looked}:
        mine = [each.cpu for each in looked if each.pid == pid]
        spent += max(mine) - min(mine)
    return spent / requests if requests else None


def _others(machine: Sequence[Moment]) -> float | None:
    if len(machine) < 2 or machine[-1].at == machine[0].at:
        return None
    first, last = machine[0], machine[-1]
    return max(0.0, (last.busy - first.busy) - (last.ours - first.ours)) / (last.at - first.at)


def slope(points: Sequence[tuple[float, float]]) -> Slope | None:
    """The line through the points; None where they are too few for one."""
    count = len(points)
    if count < 3:
        return None
    middle, level = (sum(point[axis] for point in points) / count for axis in (0, 1))
    spread = sum((x - middle) ** 2 for x, _ in points)
    if not spread:
        return None
    rise = sum((x - middle) * (y - level) for x, y in points) / spread
    left = sum((y - level - rise * (x - middle)) ** 2 for x, y in points)
    return Slope(rise, sqrt(left / (count - 2) / spread))
