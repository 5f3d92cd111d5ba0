"""What a run prints."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from statistics import median

from tests.soak.figures import Window, quantile
from tests.soak.judging import Verdict, windows_of
from tests.soak.running import Outcome

HEAD = (
    "from .. to, min   requests  5xx   median      p99  longest  CPU a request  own memory, MiB   files  "
    "connections  others' load"
)
SIGNS = {True: "holds ", False: "FAILS ", None: "open  "}


def report(outcome: Outcome, found: list[Verdict]) -> Iterator[str]:
    """All of it, in lines."""
    entries = outcome.seen.entries
    statuses = ", ".join(
        f"{count:,} of {status or 'none'}" for status, count in sorted(outcome.seen.statuses().items())
    )
    rate = len(entries) / outcome.seconds if outcome.seconds else 0.0
    yield f"{outcome.seconds:,.0f} s, {len(entries):,} requests ({rate:.1f}/s): {statuses}"
    yield ""
    yield HEAD
    yield from map(_row, windows_of(outcome))
    yield ""
    yield from _kinds(outcome)
    yield ""
    yield from (f"{SIGNS[each.holds]} {each.name}: {each.told}" for each in found)


def _row(each: Window) -> str:
    memory = " + ".join(f"{one / 2**20:.1f}" for one in each.memory)
    cpu = "" if each.cpu is None else f"{each.cpu * 1000:.2f} ms"
    others = "" if each.others is None else f"{each.others:.2f}"
    connections = "" if each.connections is None else str(each.connections)
    return (
        f"{each.begins / 60:6.2f} .. {each.ends / 60:6.2f} {each.requests:9,} {each.failures:4} "
        f"{each.median * 1000:5.1f} ms {each.p99 * 1000:5.0f} ms {each.longest * 1000:5.0f} ms {cpu:>14}  "
        f"{memory:>15} {each.files:7} {connections:>12} {others:>13}"
    )


def _kinds(outcome: Outcome) -> Iterator[str]:
    """Each kind of request, how often, and how long it took."""
    times: dict[str, list[float]] = defaultdict(list)
    for entry in outcome.seen.entries:
        times[entry.kind].append(entry.seconds)
    yield f"{'what':28} {'requests':>9} {'median':>9} {'p99':>9}"
    for kind, seconds in sorted(times.items(), key=lambda each: -len(each[1])):
        middle, late = median(seconds) * 1000, quantile(seconds, 0.99) * 1000
        yield f"{kind:28} {len(seconds):9,} {middle:6.1f} ms {late:6.0f} ms"
