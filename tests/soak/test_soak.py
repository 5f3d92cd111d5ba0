"""A few seconds of the soak hold, and what it is there to find is found."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from pathlib import Path
from random import Random
from threading import Event

import pytest
from sqlalchemy import Engine

from service.cli.progress import shown
from tests.endurance import books
from tests.endurance.asking import Answer, event
from tests.endurance.holding import receive
from tests.soak import ledger, replica, saturation, variety
from tests.soak.clients import Client, Written
from tests.soak.judging import LEAK, MOST, verdicts
from tests.soak.processes import Moment, Sample
from tests.soak.running import Options, Outcome, a_served_shop, soak
from tests.soak.seen import Entry, Seen

HOUR = 3_600
RATE = 4
"""Requests a second to each of two workers, in what is made up here."""
MEBI = 2**20
LOAD = 2.0
"""Seconds."""


def test_some_seconds_of_it_hold_and_it_ends_when_it_is_asked_to() -> None:
    options = Options(seconds=HOUR, rate=80, clients=6)
    with shown("soak", None, quiet=True) as progress:
        outcome = soak(options, progress, after(LOAD))
    assert outcome.seconds < HOUR
    found = verdicts(outcome)
    assert [each for each in found if each.holds is False] == []
    assert {each.name for each in found if each.holds} >= {"answers", "ledger", "log", "workers"}
    assert outcome.events > 0
    assert {"fit by serial", "record events", "feed"} <= {entry.kind for entry in outcome.seen.entries}


def after(seconds: float) -> Callable[[], bool]:
    """Says when so many seconds have passed since it was asked first."""
    asked: list[float] = []

    def over() -> bool:
        asked.append(time.monotonic())
        return asked[-1] - asked[0] > seconds

    return over


def an_hour(*, holds: float = 90, leak: float = 0.0, slower: float = 1.0, dearer: float = 1.0) -> Outcome:
    """Figures as an hour may bring them; the rest of each is chance."""
    random, outcome = Random(1), Outcome(Seen(), seconds=HOUR, samples=[], moments=[])
    for at in range(0, HOUR, 10):
        share = at / HOUR
        for worker in (1, 2):
            asked = at * RATE
            memory = holds * MEBI + leak * asked + random.gauss(0, MEBI / 4)
            cpu = asked * 0.004 * (1 + (dearer - 1) * share)
            outcome.samples.append(Sample(at, worker, int(memory), 2 * int(memory), 30, 10, cpu))
        outcome.moments.append(Moment(at, 2 * at, at, 12))
    for number in range(HOUR * RATE // 10):
        moment = number / RATE * 10
        seconds = random.uniform(0.004, 0.006) * (1 + (slower - 1) * moment / HOUR)
        outcome.seen.entries += [Entry(moment, "fit", 200, seconds)] * 20
    return outcome


def failing(outcome: Outcome) -> set[str]:
    found = verdicts(outcome)
    assert None not in {each.holds for each in found}
    return {each.name for each in found if not each.holds}


def test_a_quiet_hour_holds() -> None:
    assert failing(an_hour()) == set()


@pytest.mark.parametrize(
    ("grows", "names"),
    [
        ({"leak": 2 * LEAK}, {"memory of worker 1", "memory of worker 2"}),
        ({"holds": MOST}, {"memory at most"}),
        ({"slower": 9}, {"median"}),
        ({"dearer": 2}, {"processor time a request"}),
    ],
    ids=["leak", "much", "slower", "dearer"],
)
def test_what_grows_is_told(grows: dict[str, float], names: set[str]) -> None:
    assert failing(an_hour(**grows)) == names


def test_failures_are_told() -> None:
    hour = an_hour()
    hour.seen.entries.append(Entry(5.0, "fit", 500, 0.1))
    hour.seen.blame("fit: 500")
    hour.moments.append(Moment(HOUR - 1, 2 * HOUR, HOUR, 33))
    hour.log = "Traceback (most recent call last):"
    hour.ledger = ["lost: something"]
    names = {"no 5xx, nothing unanswered", "answers", "connections", "log", "ledger"}
    assert failing(hour) == names


def test_what_the_ledger_lost_is_told(sqlite_engine: Engine) -> None:
    start = books.last(sqlite_engine)
    seq = receive(sqlite_engine, "KEPT")
    assert ledger.faults(sqlite_engine, start, [client_told_of(seq, "KEPT")], None) == []
    (lost, more) = ledger.faults(sqlite_engine, start, [client_told_of(seq, "LOST")], None)
    assert lost.startswith("lost")
    assert more.startswith("promised to nobody")


def client_told_of(seq: int, board: str) -> Client:
    """A client that was told that a board was received."""
    client = Client(0, 0, Seen(), Event(), {}, rate=1)
    told = {"seq": seq, **event("received", board=board)}
    written = Written("record events", "/v1/events", "key", b"")
    client.book.acknowledged.append((written, Answer(201, {}, json.dumps({"events": [told]}).encode())))
    return client


@pytest.mark.deep
def test_saturation_is_measured(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """How long answers take is not held here: others are at work on the machine."""
    with a_served_shop(f"sqlite:///{tmp_path / 'shop.db'}", tmp_path) as shop:
        saturation.measure(saturation.Place(shop.server, None), rounds=1, seconds=0.6)
    fit, events, ratio = capsys.readouterr().out.splitlines()
    assert fit.endswith("0 failed")
    assert events.endswith("0 failed")
    assert ratio.startswith("p99 at half of saturation")


@pytest.mark.deep
def test_what_is_remembered_comes_to_its_bound(tmp_path: Path) -> None:
    assert max(variety.held(tmp_path, 2_000)) < MOST


@pytest.mark.deep
def test_a_read_replica_is_asked_and_refuses_writes(tmp_path: Path) -> None:
    alike, behind, cost = replica.measured(tmp_path)
    assert alike.startswith("all of 110 answers")
    print(behind, cost)
