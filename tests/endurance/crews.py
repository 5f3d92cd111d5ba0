"""Threads and processes that start at the same moment."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from typing import Concatenate, ParamSpec, Protocol, TypeVar

PATIENCE = 120
"""Seconds after which something is taken to hang; nothing here takes a tenth of them on a quiet machine."""

FORKED = multiprocessing.get_context("forkserver")
"""Processes are forked from one that only imported what they need: making a new one takes no second then."""
FORKED.set_forkserver_preload(["tests.endurance.racing", "tests.endurance.feeding"])

Given = ParamSpec("Given")
Made = TypeVar("Made")


class Start(Protocol):
    """A barrier of threads or of processes."""

    def wait(self, timeout: float | None = None) -> int: ...

    def abort(self) -> None: ...


def crew_of_processes(number: int, start: Start) -> ProcessPoolExecutor:
    """Processes whose work is given to them by way of `with_start`."""
    return ProcessPoolExecutor(number, FORKED, initializer=_arm, initargs=(start,))


def with_start(
    work: Callable[Concatenate[Start, Given], Made], *given: Given.args, **named: Given.kwargs
) -> Made:
    """Do some work with the barrier that this process was armed with: it cannot be sent along."""
    return work(_armed[0], *given, **named)


_armed: list[Start] = []


def _arm(start: Start) -> None:
    _armed.append(start)
