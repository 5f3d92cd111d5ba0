"""Several writers and readers at once: one wins, number order is commit order, nothing is missed."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event

import pytest
from sqlalchemy import Engine

from service.domain.ledger.event import Draft
from service.store.append import append
from service.store.engine import reading, writing
from service.store.errors import AlreadyBound, Conflict
from service.store.ledger import events_after
from tests.ledger.telling import draft, factory_set
from tests.store.ledgers import RECEIVED, board, state_tables, tell

WRITERS = 4
ROUNDS = 6


def binding(serial: str, unit: str, model: str) -> Draft:
    return draft("step_finished", step="enter_serial", board=serial, unit=unit, model=model)


def race(writer: Callable[[int], str], number: int = WRITERS) -> list[str]:
    """What came of each of several writers that start at the same time."""
    start = Barrier(number)

    def run(which: int) -> str:
        start.wait(timeout=30)
        return writer(which)

    with ThreadPoolExecutor(number) as pool:
        return list(pool.map(run, range(number)))


def test_of_writers_who_saw_the_same_one_wins_and_the_others_are_told(engine: Engine) -> None:
    for number in range(ROUNDS):
        serial = f"B{number}"
        tell(engine, draft("received", board=serial, part="p-1", binding="blank"))

        def write(which: int, serial: str = serial) -> str:
            event = binding(serial, f"U{which}", f"m-{which}")
            try:
                with writing(engine) as connection:
                    append(connection, [event], {board(serial): 1})
            except Conflict as conflict:
                (known,) = conflict.records.boards.values()
                return f"told {known.version} {known.held_serial}"
            return f"won U{which}"

        outcomes = race(write)
        (won,) = [outcome.split()[1] for outcome in outcomes if outcome.startswith("won")]
        assert sorted(outcomes) == sorted([f"won {won}", *[f"told 2 {won}"] * (WRITERS - 1)])


def test_a_board_is_bound_once_even_where_nobody_says_what_he_saw(engine: Engine) -> None:
    for number in range(ROUNDS):

        def write(which: int, serial: str = f"B{number}") -> str:
            event = binding(serial, "U1", f"m-{which}")
            try:
                with writing(engine) as connection:
                    append(connection, [event])
            except AlreadyBound as clash:
                return clash.binding.model
            return f"m-{which} won"

        outcomes = race(write)
        (won,) = [outcome.split()[0] for outcome in outcomes if outcome.endswith("won")]
        assert sorted(outcomes) == sorted([f"{won} won", *[won] * (WRITERS - 1)])


def test_a_reader_of_the_feed_misses_nothing(engine: Engine) -> None:
    """Numbers are given under the lock, so whoever has seen one has seen all below it."""
    done = Event()
    each = 15

    def read() -> list[int]:
        seen: list[int] = []
        while True:
            ended = done.is_set()
            with reading(engine) as connection:
                seen += [event.seq for event in events_after(connection, seen[-1] if seen else 0)]
            if ended:
                return seen

    def write(which: int) -> str:
        for number in range(each):
            tell(engine, draft("received", board=f"B{which}-{number}", part="p-1"))
        return "done"

    with ThreadPoolExecutor(1) as pool:
        reader = pool.submit(read)
        try:
            race(write)
        finally:
            done.set()
        assert reader.result(timeout=60) == list(range(1, WRITERS * each + 1))


def test_writers_of_one_unit_leave_states_that_are_the_fold_of_all(engine: Engine) -> None:
    tell(engine, factory_set())

    def write(which: int) -> str:
        for _ in range(5):
            tell(engine, draft("accessory_fitted", unit="U1", accessory=f"pack_{which}", amount=which + 1))
        return "done"

    race(write)
    (unit,) = state_tables(engine)["units"]
    assert unit.version == 1 + WRITERS * 5
    assert '"accessories":{"pack_0":1,"pack_1":2,"pack_2":3,"pack_3":4}' in unit.rest


def test_a_writer_who_gives_up_leaves_no_gap(engine: Engine) -> None:
    tell(engine, RECEIVED)
    with pytest.raises(AlreadyBound):
        tell(engine, RECEIVED, binding("B1", "U1", "m-1"), binding("B1", "U1", "m-2"))
    assert tell(engine, RECEIVED)[0].seq == 2
