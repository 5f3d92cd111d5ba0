"""What is not refused: where any way in which the unknown facts may be allows it, it may be recorded."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine

from service.demo.world import demo_events
from service.domain.ledger.event import Draft
from service.domain.ledger.fold import States, step
from service.store.append import append
from service.store.engine import writing
from tests.ledger.telling import draft, numbered
from tests.recording.shop import (
    AT_MAIN,
    AT_PANEL,
    BOUND_40,
    BOUND_60,
    assigned,
    bare,
    entered,
    fitted,
    held_against,
    introduced,
    law,
    plover,
    received,
    removed,
)

USED = {"binding": "used"}
SCRAPPED = draft("scrapped", board="M1")
ELSEWHERE = draft("removed", unit="U1", **AT_MAIN)

ALLOWED: dict[str, tuple[list[Draft], Draft]] = {
    "a panel of which nothing is known": (
        [plover(), removed("P1", **AT_PANEL), fitted("P9", **AT_PANEL)],
        assigned("P9"),
    ),
    "beside a main board that nobody recorded": ([bare(), fitted("P9", **AT_PANEL)], assigned("P9")),
    "a blank main board that was fitted, so may be bound by now": (
        [bare(), received("B1", binding="blank"), fitted("B1", **AT_MAIN, model="plover-40")],
        assigned("P9"),
    ),
    "a used main board may be of this very model": (
        [bare(), received("B1", **USED), fitted("B1")],
        entered("B1"),
    ),
    "a serial goes into a board of this very model": ([plover()], entered("M1")),
    "two used boards may agree": (
        [
            bare(),
            received("B1", **USED),
            fitted("B1"),
            received("P9", "PN-2400", **USED),
            fitted("P9", **AT_PANEL),
        ],
        introduced("P9", "B1"),
    ),
    "contradicting readings leave both": (
        [bare(), received("B1", **BOUND_40), draft("read_out", board="B1", **BOUND_60), fitted("B1")],
        entered("B1"),
    ),
    "a board holds the serial of a machine that was dismantled": (
        [
            bare(model="curlew-20"),
            bare("U2", "curlew-20"),
            received("B1", binding="bound", bound_model="curlew-20", holds="U2"),
            draft("dismantled", unit="U2"),
            fitted("B1"),
        ],
        entered("B1", model="curlew-20"),
    ),
    "the family lets another serial be entered": (
        [bare(), bare("U2"), received("B1", **BOUND_40, holds="U2"), fitted("B1")],
        entered("B1"),
    ),
    "a unit of a model that no catalogue knows": (
        [draft("registered", unit="U1", model="dunlin-3"), received("B1", **BOUND_60), fitted("B1")],
        entered("B1", model="dunlin-3"),
    ),
    "a unit of a family that is not covered": ([bare(model="rail-1")], assigned("P9", model="rail-1")),
    "an attempt that the tool refused": ([plover()], assigned("P1", how="failed")),
    "a step that was never begun": ([plover()], entered("M1", how="finished")),
    "a place from which some board was taken": ([plover(), ELSEWHERE], fitted("B1")),
    "a board that its own unit says was taken out": ([plover(), bare("U2"), ELSEWHERE], fitted("M1", "U2")),
    "a board recorded in a place where another was seen since": (
        [plover(), ELSEWHERE, fitted("B1"), bare("U2")],
        fitted("M1", "U2"),
    ),
    "a board comes out of where it was scrapped": ([plover(), SCRAPPED], removed("M1")),
    "a scrapped board is held": (
        [plover(), SCRAPPED],
        draft("hold_placed", board="M1", hold="owed_to_maker"),
    ),
    "a scrapped board is asked for at the till": (
        [plover(), SCRAPPED],
        draft("sale_checked", board="M1", check="c-1"),
    ),
    "a place in an ended unit is closed": (
        [plover(), draft("dismantled", unit="U1")],
        draft("found", board="M1", was={"unit": "U1", "role": "main"}, in_custody=True),
    ),
    "a unit that ended is held": (
        [bare(), draft("dismantled", unit="U1")],
        draft("hold_placed", unit="U1", hold="recalled"),
    ),
    "a converted unit becomes one that nobody registered": (
        [plover()],
        draft("converted", unit="U1", into="U2", model="plover-60", boards=[{"board": "P1", **AT_PANEL}]),
    ),
    "a board that came back is sold again": (
        [received("B1"), draft("sold", board="B1"), draft("returned", board="B1")],
        draft("sold", board="B1", unit="U1"),
    ),
    "a board that was lifted of its hold is sold": (
        [
            received("B1"),
            draft("hold_placed", board="B1", hold="recalled"),
            draft("hold_lifted", board="B1", placed=2, confirmed_by="maker", evidence="a letter"),
        ],
        draft("sold", board="B1"),
    ),
    "a unit is registered again with the boards that sit in it": ([plover()], plover()),
    "a board turns up where it is recorded": (
        [plover()],
        draft("found", board="M1", unit="U1", **AT_MAIN, in_custody=False),
    ),
}


@pytest.mark.parametrize(("history", "event"), ALLOWED.values(), ids=ALLOWED.keys())
def test_it_may_be_recorded(history: list[Draft], event: Draft) -> None:
    assert held_against(history, event) == ()


def test_everything_that_happened_in_the_demo_was_legal() -> None:
    states = States()
    for event in numbered(demo_events()):
        assert law()(states, event) == (), event
        step(states, event)


def test_the_demo_is_recorded_in_one_piece_by_the_law(engine: Engine) -> None:
    """Also where everything is taken in one transaction, and each event is judged after those before it."""
    with writing(engine) as connection:
        assert len(append(connection, demo_events(), judge=law())) == len(demo_events())
