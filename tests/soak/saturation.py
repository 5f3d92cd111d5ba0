"""How much two workers carry, what of the processor a question takes, how long answers take at half of that.

`GET /v1/fit` with both serials recorded, and single events; over HTTP, from one client process on the same
machine. Saturation and its half are taken in turns, for the machine has others at work. The 99th percentile
is counted from when a question was due, and may be at most 4 times the median. Ends with 0 only when it is
and nothing failed.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count, cycle
from pathlib import Path
from random import Random
from statistics import median

from service.demo import serials as s
from tests.endurance.asking import event
from tests.endurance.serving import Served, children
from tests.soak import asks
from tests.soak.figures import quantile
from tests.soak.load import Measured, as_fast_as_it_goes, at_a_rate, written
from tests.soak.processes import cpu
from tests.soak.running import a_served_shop, database
from tests.support.keys import SUITE

CLIENTS = 16
WARM = 1.0
MOST = 4.0
"""Times the median."""


@dataclass(frozen=True, slots=True)
class Place:
    """What is measured."""

    server: Served
    database: int | None
    """PostgreSQL's first process."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What of the processor one request takes, in seconds."""

    workers: float
    database: float
    """0 on SQLite, which is part of the workers."""


def fits() -> Iterator[bytes]:
    """The hot question, about ever another pair."""
    every = [written(ask, SUITE.written()) for ask in asks.BY_SERIAL]
    Random(1).shuffle(every)
    return cycle(every)


def events() -> Iterator[bytes]:
    """One event a request, each about a board that nobody saw before."""
    for number in count():
        batch, running = divmod(number, 10_000)
        board = s.board_serial("M41", 2014, batch + 1, running)
        body = {"events": [event("received", board=board, part="MN-4100", binding="blank")]}
        key = {"Idempotency-Key": f"saturation-{number:08d}"}
        yield written(asks.post("event", "/v1/events", body, headers=key), SUITE.written())


def main() -> int:
    """Measure as the command line says."""
    formatter = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(
        prog="python -m tests.soak.saturation", description=__doc__, formatter_class=formatter
    )
    parser.add_argument("--database", choices=("sqlite", "postgresql"), default="sqlite", help="(sqlite)")
    parser.add_argument("--rounds", type=int, default=5, help="saturation and half of it, so often (5)")
    parser.add_argument("--seconds", type=float, default=8.0, help="how long each half takes (8)")
    given = parser.parse_args()
    if given.rounds < 1 or given.seconds <= 0:
        parser.error("rounds and seconds must be above 0")
    with (
        tempfile.TemporaryDirectory(prefix="boardfit-saturation-") as name,
        database(given.database, Path(name)) as empty,
        a_served_shop(empty.url, Path(name)) as shop,
    ):
        return measure(Place(shop.server, empty.pid), given.rounds, given.seconds)


def measure(place: Place, rounds: int, seconds: float) -> int:
    """Print what is found; 0 where it is as it should be and nothing failed."""
    port, requests = place.server.port, fits()
    as_fast_as_it_goes(port, requests, CLIENTS, WARM)
    found, failed = [], 0
    for turn in range(rounds):
        full, cost = weighed(place, requests, seconds / 4)
        half = at_a_rate(port, requests, full.rate / 2, seconds, seed=turn)
        middle, late = median(half.times), quantile(half.times, 0.99)
        found.append(late / middle)
        unexpected = full.unexpected + half.unexpected
        failed += unexpected
        print(
            f"fit: {full.rate:,.0f}/s at most ({told(cost)}); at {half.rate:,.0f}/s median "
            f"{middle * 1000:.2f} ms, p99 {late * 1000:.2f} ms: {late / middle:.1f} times; "
            f"{unexpected} failed",
            flush=True,
        )
    one, cost = weighed(place, events(), seconds / 2)
    print(f"events: {one.rate:,.0f}/s by {CLIENTS} clients ({told(cost)}); {one.unexpected} failed")
    print(f"p99 at half of saturation: {median(found):.1f} times the median (at most {MOST:.0f})")
    return int(median(found) > MOST or failed + one.unexpected > 0)


def weighed(place: Place, requests: Iterator[bytes], seconds: float) -> tuple[Measured, Cost]:
    """As fast as it goes, with what each request took of the processor."""
    before = spent(place)
    found = as_fast_as_it_goes(place.server.port, requests, CLIENTS, seconds)
    workers, server = (now - was for now, was in zip(spent(place), before, strict=True))
    return found, Cost(workers / len(found.times), server / len(found.times))


def spent(place: Place) -> tuple[float, float]:
    """Processor time of the workers and of PostgreSQL so far."""
    workers = sum(cpu(pid) for pid in place.server.workers())
    if place.database is None:
        return workers, 0.0
    return workers, sum(cpu(pid) for pid in (place.database, *children(place.database)))


def told(cost: Cost) -> str:
    """In words: what a request takes, and how many a core answers by that."""
    both = cost.workers + cost.database
    database = f" + {cost.database * 1000:.2f} in PostgreSQL" if cost.database else ""
    return f"{cost.workers * 1000:.2f} ms of processor time{database}, {1 / both:,.0f}/s a core"


if __name__ == "__main__":
    sys.exit(main())
