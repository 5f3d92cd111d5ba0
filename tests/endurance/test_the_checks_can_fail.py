"""Every check of the endurance tests is shown something that is wrong."""

from __future__ import annotations

import json
from collections import Counter

import pytest
from sqlalchemy import Engine, text

from service.store.append import append
from service.store.engine import writing
from tests.endurance import books, racing, soundness
from tests.endurance.asking import Answer, Write, event
from tests.endurance.feeding import Done
from tests.endurance.loading import Acknowledged, is_repetition
from tests.endurance.racing import Race, Told
from tests.endurance.test_feed import out_of_order
from tests.store.ledgers import a_day_at_the_bench

TAMPERED = {
    "numbers have gaps": "DELETE FROM events WHERE seq = 3",
    "recorded before the one below it": "UPDATE events SET recorded_at = '2001-01-01 00:00:00' WHERE seq = 4",
    "an event of nobody": "DELETE FROM event_subjects WHERE seq = 7",
    "versions have gaps": "DELETE FROM event_subjects WHERE serial = 'B1' AND version = 1",
    "versions run against the numbers": "UPDATE event_subjects SET seq = 3 WHERE serial = 'B1' AND seq = 9",
    "an epoch whose predecessor stands": "INSERT INTO bindings VALUES ('M1', 2, 'plover-60', 1)",
    "a binding by an event of others": "UPDATE bindings SET seq = 2 WHERE board = 'M1'",
    "the state tables are not the fold of the events": "UPDATE boards SET version = 9 WHERE serial = 'B1'",
}


@pytest.fixture
def open_to_all(sqlite_engine: Engine) -> Engine:
    """A ledger whose database has forgotten to guard it."""
    a_day_at_the_bench(sqlite_engine)
    assert soundness.faults(sqlite_engine) == []
    asked = text("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    with sqlite_engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
        for name in connection.execute(asked).scalars().all():
            connection.exec_driver_sql(f"DROP TRIGGER {name}")
    return sqlite_engine


@pytest.mark.parametrize("fault", TAMPERED)
def test_an_unsound_ledger_is_noticed(open_to_all: Engine, fault: str) -> None:
    with open_to_all.connect() as connection:
        connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
        connection.exec_driver_sql(TAMPERED[fault])
    assert fault in " ".join(soundness.faults(open_to_all))


def test_every_check_of_soundness_is_shown_a_fault() -> None:
    assert set(soundness.UNSOUND) < set(TAMPERED)


def acknowledged(board: str, *numbers: int) -> Acknowledged:
    """A write of received boards with the answer that it was recorded under these numbers."""
    sent = {"events": [event("received", board=board) for _ in numbers]}
    told = {"events": [{"seq": number, "kind": "received", "data": {"board": board}} for number in numbers]}
    return Acknowledged(Write("key", json.dumps(sent).encode()), Answer(201, {}, json.dumps(told).encode()))


def test_what_is_lost_or_there_twice_is_noticed() -> None:
    promised = Counter(books.promised(acknowledged("B1", 5, 6)))
    five, six = sorted(promised)
    assert books.differences("here", promised, Counter([five, six])) == []
    assert "lost" in books.differences("here", promised, Counter([five]))[0]
    assert "promised to nobody" in books.differences("here", promised, Counter([five, six, six]))[0]


def test_an_answer_to_something_else_is_noticed() -> None:
    right, other = acknowledged("B1", 5), acknowledged("B2", 5)
    assert books.answers(right)
    assert not books.answers(Acknowledged(right.write, other.answer))


def test_an_answer_that_is_not_the_first_one_again_is_noticed() -> None:
    first, marked = Answer(201, {}, b"{}"), {"Idempotency-Replayed": "true"}
    assert is_repetition(Answer(201, marked, b"{}"), first)
    assert not is_repetition(Answer(201, {}, b"{}"), first)
    assert not is_repetition(Answer(201, marked, b"[]"), first)


def test_two_winners_no_winner_and_a_wrong_word_are_noticed(sqlite_engine: Engine) -> None:
    race = Race(board="B1", looked=False, before=0)
    (mine, my_unit), (other, its_unit) = racing.prize(race, 0), racing.prize(race, 1)
    won, lost = Told(won=True, model=mine, unit=my_unit), Told(won=False, model=mine, unit=None)
    racing.receive(sqlite_engine, [race])
    with writing(sqlite_engine) as connection:
        append(connection, race.job(0))
    assert racing.faults(sqlite_engine, [race], [[won], [lost]]) == []
    for second in (
        Told(won=True, model=other, unit=its_unit),
        Told(won=False, model=other, unit=None),
        Told(won=False, model=mine, unit=its_unit),
    ):
        assert racing.faults(sqlite_engine, [race], [[won], [second]])
    assert racing.faults(sqlite_engine, [race], [[lost], [lost]])
    assert racing.faults(sqlite_engine, [race], [[lost], [Told(won=True, model=other, unit=its_unit)]])


def test_numbers_against_the_order_of_the_commits_are_noticed() -> None:
    early = Done(began=1.0, ended=2.0, board="B1", numbers=[2])
    late = Done(began=3.0, ended=4.0, board="B2", numbers=[1])
    assert out_of_order([early, late])
    assert not out_of_order([early, Done(began=3.0, ended=4.0, board="B2", numbers=[3])])
