"""Of two writers who want the same blank board, exactly one gets it and the other is told who did."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Barrier

import pytest
from sqlalchemy import Engine

from tests.endurance import racing, soundness
from tests.endurance.counting import Report, part_and_full
from tests.endurance.crews import FORKED, crew_of_processes, with_start
from tests.endurance.racing import WRITERS, Race, Told, races

Compete = Callable[[str, Sequence[Race]], list[list[Told]]]
"""Has all writers run the same races on a database: what each of them is told, writer by writer."""


def threads(url: str, todo: Sequence[Race]) -> list[list[Told]]:
    start = Barrier(WRITERS)
    with ThreadPoolExecutor(WRITERS) as pool:
        return _all([pool.submit(racing.run, start, writer, url, todo) for writer in range(WRITERS)])


def processes(url: str, todo: Sequence[Race]) -> list[list[Told]]:
    with crew_of_processes(WRITERS, FORKED.Barrier(WRITERS)) as pool:
        return _all([pool.submit(with_start, racing.run, writer, url, todo) for writer in range(WRITERS)])


def _all(parts: Iterable[Future[list[Told]]]) -> list[list[Told]]:
    return [part.result() for part in parts]


@pytest.mark.parametrize("compete", [threads, processes])
@part_and_full(60, 600)
def test_one_wins_and_the_other_is_told(
    engine: Engine, database_url: str, compete: Compete, count: int, report: Report
) -> None:
    todo = races(count, seed=1)
    racing.receive(engine, todo)
    outcomes = compete(database_url, todo)
    assert racing.faults(engine, todo, outcomes) == []
    assert soundness.faults(engine) == []
    report(races=count, **racing.wins(outcomes))
