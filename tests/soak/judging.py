"""Whether what was seen is well: each finding with its figures, and the limit that it is held against."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median

from tests.soak.figures import Slope, Window, slope, windows
from tests.soak.running import Outcome, most_connections

WARM_UP = 1 / 3
"""Of the time: connections are made, and what is remembered of single boards comes to its bound."""
LEAK = 100.0
"""Bytes that a worker may grow by with a request: 10 MB in the 100,000 that it lives for."""
MOST = 150
"""MiB that a worker may hold of its own."""
ENOUGH = 5_000
"""Requests to a worker after the warm-up, below which no slope is believed."""
MORE_FILES = 8
DEARER = 1.25
"""How many times the processor time of a request may be at the end what it was after the warm-up."""
SLOWER = 1.5
"""The same of the median; generous, since others are at work on the machine too."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """One finding."""

    name: str
    holds: bool | None
    """None where the run was too short to tell."""
    told: str


def verdicts(outcome: Outcome) -> list[Verdict]:
    """All that a run has to show."""
    steady = [each for each in windows_of(outcome) if each.begins >= WARM_UP * outcome.seconds]
    return [*_of_answers(outcome), *_of_memory(outcome), *_of_drift(steady), *_of_processes(outcome, steady)]


def windows_of(outcome: Outcome) -> list[Window]:
    """The windows of a run."""
    return windows(outcome.seen.entries, outcome.samples, outcome.moments, outcome.seconds)


def _of_answers(outcome: Outcome) -> Iterator[Verdict]:
    failed = sum(status == 0 or status >= 500 for status in outcome.seen.statuses().elements())
    yield Verdict("no 5xx, nothing unanswered", not failed, f"{failed:,} of {len(outcome.seen.entries):,}")
    wrong = "; ".join(outcome.seen.told_wrong()) or "every status as expected, fixed answers byte for byte"
    yield Verdict("answers", not outcome.seen.wrong, wrong)
    told = "; ".join(outcome.ledger) or (
        f"{outcome.events:,} events in one order, acknowledged ones once each, the feed whole, "
        f"{outcome.repeated:,} repeats answered as at first, the state tables made anew are equal, "
        f"{outcome.revisions:,} catalogues published meanwhile"
    )
    yield Verdict("ledger", not outcome.ledger, told)
    quiet = "Traceback" not in outcome.log
    yield Verdict("log", quiet, "no trace of an error" if quiet else outcome.log)


def _of_memory(outcome: Outcome) -> Iterator[Verdict]:
    """The line through a worker's own memory after the warm-up, as bytes for each request to it."""
    most = max((each.memory for each in outcome.samples), default=0) / 2**20
    yield Verdict("memory at most", most <= MOST, f"{most:.1f} MiB; at most {MOST}")
    rate = len(outcome.seen.entries) / outcome.seconds / outcome.workers
    for turn, pid in enumerate(sorted({each.pid for each in outcome.samples}), 1):
        mine = [each for each in outcome.samples if each.pid == pid]
        steady = [each for each in mine if each.at >= WARM_UP * outcome.seconds]
        line = slope([(each.at * rate, each.memory) for each in steady])
        yield _leak(turn, line, rate, steady[-1].at - steady[0].at if steady else 0.0, mine[-1].memory)


def _leak(turn: int, line: Slope | None, rate: float, seconds: float, memory: int) -> Verdict:
    name = f"memory of worker {turn}"
    if line is None or seconds * rate < ENOUGH:
        return Verdict(name, None, f"{memory / 2**20:.1f} MiB at the end; too few requests for a slope")
    told = (
        f"{memory / 2**20:.1f} MiB at the end; {line.rise:+.1f} ± {2 * line.error:.1f} bytes a request, "
        f"{line.rise * rate * 3600 / 2**20:+.2f} MiB/h; at most {LEAK:.0f} bytes"
    )
    return Verdict(name, line.surely <= LEAK, told)


def _of_drift(steady: list[Window]) -> Iterator[Verdict]:
    third = len(steady) // 3
    first, last = (steady[:third], steady[-third:]) if third else ([], [])
    enough = sum(each.requests for each in first) >= ENOUGH / 5
    costs = [[each.cpu for each in part if each.cpu is not None] for part in (first, last)]
    if enough and all(costs):
        was, now = (median(part) for part in costs)
        told = f"{was * 1000:.2f} ms in the first third, {now * 1000:.2f} in the last: {now / was:.2f} times"
        yield Verdict("processor time a request", now / was <= DEARER, f"{told}; at most {DEARER}")
    else:
        yield Verdict("processor time a request", None, "too short to tell")
    was, now = (median([each.median for each in part] or [0.0]) for part in (first, last))
    if enough and was:
        told = f"{was * 1000:.1f} ms in the first third, {now * 1000:.1f} in the last: {now / was:.2f} times"
        yield Verdict("median", now / was <= SLOWER, f"{told}; at most {SLOWER}")
    else:
        yield Verdict("median", None, "too short to tell")


def _of_processes(outcome: Outcome, steady: list[Window]) -> Iterator[Verdict]:
    files = [each.files for each in steady if each.files]
    if len(files) >= 4:
        half = len(files) // 2
        was, now = max(files[:half]), max(files[half:])
        yield Verdict(
            "open files", now <= was + MORE_FILES, f"at most {was} in the first half, {now} in the second"
        )
    found = [each.connections for each in outcome.moments if each.connections is not None]
    if found:
        told = f"at most {max(found)} at a time, {most_connections()} are allowed"
        yield Verdict("connections", max(found) <= most_connections(), told)
    pids = {each.pid for each in outcome.samples}
    same = 0 < len(pids) <= outcome.workers  # on a busy machine the second one may be seen late
    yield Verdict("workers", same, f"{len(pids)} processes, {outcome.workers} of them at a time")
