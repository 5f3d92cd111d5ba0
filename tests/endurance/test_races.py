"""Of two writers who want the same blank board, exactly one gets it and the other is told who did."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from sqlalchemy import Engine, text

from service.store.append import append_many
from service.store.engine import reading
from tests.endurance import racing, soundness
from tests.endurance.counting import Report, part_and_full
from tests.endurance.crews import FORKED, crew_of_processes, with_start
from tests.endurance.racing import WRITERS, Race, Told, prize, races
from tests.endurance.serving import a_shop, served
from tests.ledger.telling import draft

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
    receive(engine, todo)
    hold(engine, todo, compete(database_url, todo), report)


@part_and_full(30, 300)
def test_one_wins_and_the_other_is_told_over_http(
    database_url: str, tmp_path: Path, count: int, report: Report
) -> None:
    todo = races(count, seed=2)
    start = Barrier(WRITERS)
    with (
        a_shop(database_url) as engine,
        served(database_url, tmp_path) as server,
        ThreadPoolExecutor(WRITERS) as pool,
    ):
        receive(engine, todo)
        run = racing.run_over_http
        told = [pool.submit(run, start, writer, server.port, todo) for writer in range(WRITERS)]
        hold(engine, todo, _all(told), report)


def receive(engine: Engine, todo: Sequence[Race]) -> None:
    """Have the blank boards that are raced for."""
    append_many(
        engine, [draft("received", board=race.board, part="MN-4100", binding="blank") for race in todo]
    )


def hold(engine: Engine, todo: Sequence[Race], told: Sequence[Sequence[Told]], report: Report) -> None:
    """Whether all is as it must be after the races."""
    outcomes = list(zip(*told, strict=True))
    assert [(race, both) for race, both in zip(todo, outcomes, strict=True) if not is_right(race, both)] == []
    won = {race.board: winner(both).model for race, both in zip(todo, outcomes, strict=True)}
    there = kept(engine)
    assert {board: there.get(board) for board in won} == won
    assert soundness.faults(engine) == []
    wins = Counter(at for both in outcomes for at, one in enumerate(both) if one.won)
    report(races=len(todo), **{f"won_by_{writer}": wins[writer] for writer in range(WRITERS)})


def is_right(race: Race, both: Sequence[Told]) -> bool:
    """Exactly one won, and both say that the board is what the winner made of it."""
    won = [prize(race, writer) for writer, one in enumerate(both) if one.won]
    return len(won) == 1 and all(one.model == won[0][0] and one.unit in (won[0][1], None) for one in both)


def winner(both: Sequence[Told]) -> Told:
    return next(one for one in both if one.won)


def kept(engine: Engine) -> dict[str, str]:
    """The model that each board is bound to, by the tables."""
    asked = text("SELECT board, model FROM bindings WHERE epoch = 1")
    with reading(engine) as connection:
        return {row.board: row.model for row in connection.execute(asked)}
