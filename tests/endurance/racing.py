"""Two writers who want the same blank board, again and again: what each of them is told."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from random import Random

from sqlalchemy import Engine, text

from service.domain.ledger.event import Draft
from service.domain.terms import Serial
from service.store.append import append, append_many
from service.store.engine import reading, writing
from service.store.errors import AlreadyBound, Conflict
from tests.endurance.asking import Client, Write, event
from tests.endurance.crews import PATIENCE, Start
from tests.ledger.telling import draft
from tests.store.ledgers import board
from tests.support.databases import opened

WRITERS = 2
MODELS = ("plover-40", "plover-60")
"""What each of them wants to make of the board."""


@dataclass(frozen=True, slots=True)
class Race:
    """What both writers do."""

    board: str
    looked: bool
    """Whether they say which version of the board they saw."""
    before: int
    """So many events come before the one that binds, in the same append."""

    def job(self, writer: int) -> list[Draft]:
        model, unit = prize(self, writer)
        tests = [draft("tested", board=self.board, passed=True)] * self.before
        binding = draft("step_finished", step="enter_serial", board=self.board, unit=unit, model=model)
        return [*tests, binding]


@dataclass(frozen=True, slots=True)
class Told:
    """What a writer knows after a race: whether it won, and what the board is said to be now."""

    won: bool
    model: str
    unit: str | None
    """The unit whose serial the board holds, where that is told."""


def prize(race: Race, writer: int) -> tuple[str, str]:
    """The model and the unit that a writer wants the board for."""
    return MODELS[writer], f"{race.board}U{writer}"


def races(count: int, seed: int) -> list[Race]:
    """So many races, each for a board of its own."""
    random = Random(seed)
    return [
        Race(board=f"R{seed}N{number}", looked=random.random() < 0.5, before=random.choice([0, 0, 1, 3]))
        for number in range(count)
    ]


def run(start: Start, writer: int, url: str, todo: Sequence[Race]) -> list[Told]:
    """One writer's part in all the races."""
    with opened(url) as engine:
        return _run(start, todo, lambda race: _attempt(engine, race, writer))


def _run(start: Start, todo: Sequence[Race], attempt: Callable[[Race], Told]) -> list[Told]:
    told = []
    try:
        for race in todo:
            start.wait(PATIENCE)
            told.append(attempt(race))
    except BaseException:
        start.abort()  # or the other would wait for this one in vain
        raise
    return told


def _attempt(engine: Engine, race: Race, writer: int) -> Told:
    expected = {board(race.board): 1} if race.looked else None
    try:
        with writing(engine) as connection:
            append(connection, race.job(writer), expected)
    except Conflict as conflict:
        return _told(conflict, race)
    return Told(True, *prize(race, writer))


def _told(conflict: Conflict, race: Race) -> Told:
    # Who said what it saw is told that this is out of date, and anybody else that the board is bound.
    assert isinstance(conflict, AlreadyBound) is not race.looked
    record = conflict.records.boards[Serial(race.board)]
    assert record.binding.values is not None
    assert record.held_serial is not None
    (model,) = record.binding.values
    assert record.version == 2 + race.before
    return Told(won=False, model=model, unit=record.held_serial)


def run_over_http(start: Start, writer: int, port: int, todo: Sequence[Race]) -> list[Told]:
    """As `run`, by way of a server."""
    with closing(Client(port)) as client:
        return _run(start, todo, lambda race: _asked(client, race, writer))


def _asked(client: Client, race: Race, writer: int) -> Told:
    events = [event(each.kind, **each.data) for each in race.job(writer)]
    expected = [{"board": race.board, "version": 1}] if race.looked else []
    body = json.dumps({"events": events, "expected": expected}).encode()
    answer = client.record(Write(f"race-{race.board}-{writer}", body))
    if answer.status == 201:
        return Told(True, *prize(race, writer))
    problem = answer.json()
    assert (answer.status, problem["code"]) == (409, "version_conflict" if race.looked else "not_legal")
    (now,) = problem["now"]["boards"]
    assert (now["board"], now["version"], now["may_be_blank"]) == (race.board, 2 + race.before, False)
    (model,) = now["bound_models"]
    holders = [refusal["facts"]["holder"] for refusal in problem.get("refusals", ())]
    return Told(won=False, model=model, unit=holders[0] if holders else None)


def receive(engine: Engine, todo: Sequence[Race]) -> None:
    """Have the blank boards that are raced for."""
    append_many(
        engine, [draft("received", board=race.board, part="MN-4100", binding="blank") for race in todo]
    )


def faults(engine: Engine, todo: Sequence[Race], told: Sequence[Sequence[Told]]) -> list[str]:
    """The races that had not one winner of whom both were told, and the boards that are not his.

    `told` holds each writer's outcomes.
    """
    there, found = _bound(engine), []
    for race, both in zip(todo, zip(*told, strict=True), strict=True):
        won = [prize(race, writer) for writer, one in enumerate(both) if one.won]
        right = len(won) == 1 and all(_agrees(one, won[0]) for one in both)
        if not right or there.get(race.board) != won[0][0]:
            found.append(f"{race}: {both}, and it is bound to {there.get(race.board)}")
    return found


def wins(told: Sequence[Sequence[Told]]) -> dict[str, int]:
    """How often each writer won."""
    return {f"won_by_{writer}": sum(one.won for one in all_) for writer, all_ in enumerate(told)}


def _agrees(one: Told, won: tuple[str, str]) -> bool:
    return one.model == won[0] and one.unit in (won[1], None)


def _bound(engine: Engine) -> dict[str, str]:
    """The model that each board is bound to, by the tables."""
    asked = text("SELECT board, model FROM bindings WHERE epoch = 1")
    with reading(engine) as connection:
        return {row.board: row.model for row in connection.execute(asked)}
