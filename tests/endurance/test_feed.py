"""Beside eight writers, readers of the feed see every event once, in the order of the commits."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

from tests.endurance import soundness
from tests.endurance.counting import Report, part_and_full
from tests.endurance.crews import FORKED, crew_of_processes, with_start
from tests.endurance.feeding import Done, Job, Read, jobs, read, write
from tests.support.databases import opened

WRITERS = 8
READERS = 4
"""Of each, half are threads and half are processes."""


@part_and_full(10, 200)
def test_readers_beside_eight_writers_see_no_gap_and_no_double(
    database_url: str, count: int, report: Report
) -> None:
    plans = [jobs(writer, count, seed=2) for writer in range(WRITERS)]
    total = sum(job.events for plan in plans for job in plan if job.fate == "kept")
    done, read_by = together(database_url, plans, total)
    assert [number for number, _ in read_by[0].seen] == list(range(1, total + 1))
    assert [other.seen == read_by[0].seen for other in read_by] == [True] * READERS
    assert [reader.cut for reader in read_by] == [0] * READERS
    assert {number: each.board for each in done for number in each.numbers} == dict(read_by[0].seen)
    assert out_of_order(done) == []
    with opened(database_url) as engine:
        assert soundness.faults(engine) == []
    report(
        jobs=WRITERS * count,
        kept=len(done),
        events=total,
        looks=sum(reader.looks for reader in read_by),
        longest_look=round(max(reader.longest for reader in read_by), 3),
    )


def together(url: str, plans: Sequence[Sequence[Job]], total: int) -> tuple[list[Done], list[Read]]:
    """Have all write and read at once: what was kept, and what each reader saw."""
    start = FORKED.Barrier(WRITERS + READERS)
    half, few = WRITERS // 2, READERS // 2
    with ThreadPoolExecutor(half + few) as threads, crew_of_processes(half + few, start) as processes:
        writers = [threads.submit(write, start, url, plan) for plan in plans[:half]]
        writers += [processes.submit(with_start, write, url, plan) for plan in plans[half:]]
        readers = [threads.submit(read, start, url, total, seed) for seed in range(few)]
        readers += [processes.submit(with_start, read, url, total, seed) for seed in range(few, READERS)]
        return [done for each in writers for done in each.result()], [each.result() for each in readers]


def out_of_order(done: Sequence[Done]) -> list[Done]:
    """Those with a lower number that began only after one with a higher number had ended."""
    latest, found = 0.0, []
    for each in sorted(done, key=lambda each: each.numbers):
        if each.ended < latest:
            found.append(each)
        latest = max(latest, each.began)
    return found
