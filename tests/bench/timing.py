"""Timing side by side: the machine is noisy, so what is compared runs in turns and the medians are told.

What is counted is the process's own CPU time, which other work on the machine disturbs least.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from statistics import median


def interleaved(
    works: Mapping[str, Callable[[], object]], *, turns: int = 30, repeats: int = 50
) -> dict[str, float]:
    """CPU seconds for one call of each work: the median over the turns, in each of which every work runs
    `repeats` times in a row."""
    seconds: dict[str, list[float]] = {name: [] for name in works}
    for work in works.values():
        work()
    for _ in range(turns):
        for name, work in works.items():
            start = time.process_time()
            for _ in range(repeats):
                work()
            seconds[name].append((time.process_time() - start) / repeats)
    return {name: median(values) for name, values in seconds.items()}
