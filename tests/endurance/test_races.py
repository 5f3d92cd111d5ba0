"""Of two writers who want the same blank board, exactly one gets it and the other is told who did."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Barrier

import pytest
from sqlalchemy import Engine, text

from service.store.append import append_many
from service.store.engine import reading
from tests.endurance import racing, soundness
from tests.endurance.counting import Report, part_and_full
from tests.endurance.crews import FORKED, crew_of_processes, with_start
from tests.endurance.racing import WRITERS, Race, Told, prize, races
from tests.ledger.telling import draft
from tests.support.databases import opened

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
    database_url: str, compete: Compete, count: int, report: Report
) -> None:
    todo = races(count, seed=1)
    with opened(database_url) as engine:
        received = [draft("received", board=race.board, part="p-1", binding="blank") for race in todo]
        append_many(engine, received)
        told = list(zip(*compete(database_url, todo), strict=True))
        wrong = [(race, both) for race, both in zip(todo, told, strict=True) if not is_right(race, both)]
        assert wrong == []
        assert kept(engine) == {race.board: winner(both).model for race, both in zip(todo, told, strict=True)}
        assert soundness.faults(engine) == []
    wins = Counter(at for both in told for at, one in enumerate(both) if one.won)
    report(races=count, **{f"won_by_{writer}": wins[writer] for writer in range(WRITERS)})


def is_right(race: Race, both: Sequence[Told]) -> bool:
    """Exactly one won, and both say that the board is what the winner made of it."""
    won = [prize(race, writer) for writer, one in enumerate(both) if one.won]
    return len(won) == 1 and {(one.unit, one.model) for one in both} == set(won)


def winner(both: Sequence[Told]) -> Told:
    return next(one for one in both if one.won)


def kept(engine: Engine) -> dict[str, str]:
    """The model that each board is bound to, by the tables."""
    asked = text("SELECT board, model FROM bindings WHERE epoch = 1")
    with reading(engine) as connection:
        return {row.board: row.model for row in connection.execute(asked)}
