"""Groups of events in one transaction: one that is refused leaves nothing, the others are as if alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine

from service.domain.ledger.event import Draft, Event
from service.domain.recording.refusal import Judge
from service.store.append import append
from service.store.appending import Appending
from service.store.engine import writing
from service.store.errors import AlreadyBound, Conflict, InvalidEvents, NotCorrectable
from service.store.ledger import events_after
from tests.data.copying import new_ledger
from tests.ledger.histories import histories
from tests.ledger.telling import draft
from tests.recording.shop import law
from tests.store.ledgers import BIND, BIND_OTHER, RECEIVED, state_tables

REFUSED = (Conflict, InvalidEvents, NotCorrectable)


def pointed(told: Draft, seqs: dict[int, int]) -> Draft:
    """The draft with the numbers that earlier ones of the history got; 0 is nobody's."""
    data = {
        name: seqs.get(value, 0) if name in {"withdraws", "placed"} else value
        for name, value in told.data.items()
    }
    return replace(told, data=data)


def grouped(history: Sequence[Draft], sizes: Sequence[int]) -> list[list[tuple[int, Draft]]]:
    """The history cut into groups of these sizes, over and over; each draft with its place."""
    numbered = list(enumerate(history, 1))
    groups: list[list[tuple[int, Draft]]] = []
    while numbered:
        size = sizes[len(groups) % len(sizes)]
        groups.append(numbered[:size])
        numbered = numbered[size:]
    return groups


def taken_together(
    engine: Engine, groups: Sequence[Sequence[tuple[int, Draft]]], judge: Judge | None
) -> list[list[Draft]]:
    """The groups that one transaction takes, as they were taken."""
    seqs: dict[int, int] = {}
    taken: list[list[Draft]] = []
    with writing(engine) as connection:
        appending = Appending(connection, judge=judge)
        for group in groups:
            drafts = [pointed(each, seqs) for _, each in group]
            try:
                events = appending.take(drafts)
            except REFUSED:
                continue
            seqs |= {place: event.seq for (place, _), event in zip(group, events, strict=True)}
            taken.append(drafts)
        appending.keep()
    return taken


def recorded(engine: Engine) -> list[Event]:
    with writing(engine) as connection:
        events = events_after(connection, 0)
    return [replace(event, recorded_at=event.occurred_at) for event in events]


@pytest.mark.parametrize("judged", [True, False])
@settings(max_examples=15)
@given(history=histories(), sizes=st.lists(st.integers(1, 3), min_size=1, max_size=3))
def test_what_is_taken_together_is_what_would_be_taken_alone(
    migrated_file: Path, history: list[Draft], sizes: list[int], *, judged: bool
) -> None:
    judge = law() if judged else None
    with new_ledger(migrated_file) as one, new_ledger(migrated_file) as other:
        taken = taken_together(one, grouped(history, sizes), judge)
        for drafts in taken:
            with writing(other) as connection:
                append(connection, drafts, judge=judge)
        assert recorded(one) == recorded(other)
        assert state_tables(one) == state_tables(other)


def test_of_a_group_that_is_refused_at_its_end_nothing_is_left(engine: Engine) -> None:
    with writing(engine) as connection:
        appending = Appending(connection)
        first = appending.take([RECEIVED, BIND])
        with pytest.raises(AlreadyBound):
            appending.take([RECEIVED, BIND_OTHER])
        last = appending.take([draft("tested", board="B1", passed=True)])
        appending.keep()
    assert [event.seq for event in (*first, *last)] == [1, 2, 3]
    assert [event.kind for event in recorded(engine)] == ["received", "step_finished", "tested"]
    (board,) = state_tables(engine)["boards"]
    assert (board.version, board.binding) == (3, "plover-40")
