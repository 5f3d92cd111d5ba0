"""Withdrawing an event: not where a later one would be left without what made it right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest
from sqlalchemy import Engine, select

from service.domain.ledger.event import Draft
from service.domain.recording.correcting import Undone, undone_by
from service.store.engine import reading
from service.store.errors import NotCorrectable
from service.store.ledger import last_number
from service.store.tables import BINDINGS
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
    introduced,
    law,
    plover,
    received,
    record,
    removed,
)

BLANK = {"binding": "blank"}
LIFTED = draft("hold_lifted", board="B1", placed=2, confirmed_by="maker", evidence="a letter")


def corrected(seq: int, **reading: Any) -> Draft:
    return draft("corrected", withdraws=seq, reason="mistyped", **reading)


@dataclass(frozen=True, kw_only=True)
class Case:
    """The history cannot lose an event, for the sake of a later one."""

    history: list[Draft]
    correction: Draft
    later: int
    code: str


REFUSED = {
    "a removal, and another board was fitted there": Case(
        history=[plover(), removed("M1"), received("B1"), fitted("B1")],
        correction=corrected(2),
        later=4,
        code="place_is_taken",
    ),
    "a removal, and the board was fitted elsewhere": Case(
        history=[plover(), bare("U2"), removed("M1"), fitted("M1", "U2")],
        correction=corrected(3),
        later=4,
        code="fitted_elsewhere",
    ),
    "a hold that was lifted since": Case(
        history=[received("B1"), draft("hold_placed", board="B1", hold="recalled"), LIFTED],
        correction=corrected(2),
        later=3,
        code="no_such_hold",
    ),
    "a lifting, and the board was sold since": Case(
        history=[
            received("B1"),
            draft("hold_placed", board="B1", hold="recalled"),
            LIFTED,
            draft("sold", board="B1"),
        ],
        correction=corrected(3),
        later=4,
        code="board_is_held",
    ),
    "a receipt, and the board was sold since": Case(
        history=[received("B1"), draft("sold", board="B1")],
        correction=corrected(1),
        later=2,
        code="not_in_custody",
    ),
    "a sale, and the board came back since": Case(
        history=[received("B1"), draft("sold", board="B1"), draft("returned", board="B1")],
        correction=corrected(2),
        later=3,
        code="not_sold",
    ),
    "a board was bound, and is found to be of another model than its panel": Case(
        history=[
            plover(),
            removed("M1"),
            received("B1", **BLANK),
            fitted("B1", **AT_MAIN, model="plover-40"),
            entered("B1"),
            introduced("P1", "B1"),
        ],
        correction=corrected(5, board="B1", **BOUND_60),
        later=6,
        code="board_is_blank",
    ),
    "a board was bound, and is found to be blank": Case(
        history=[
            bare(),
            received("B1", **BLANK),
            fitted("B1", **AT_MAIN, model="plover-40"),
            entered("B1"),
            fitted("P9", **AT_PANEL),
            assigned("P9"),
        ],
        correction=corrected(4, board="B1", **BLANK),
        later=6,
        code="naming_board_is_blank",
    ),
    "a receipt, and another board was worked on beside that board since": Case(
        history=[
            bare(),
            received("B1", **BOUND_40),
            fitted("B1", **AT_MAIN, model="plover-40"),
            fitted("P9", **AT_PANEL),
            assigned("P9"),
        ],
        correction=corrected(2, board="B1", **BOUND_60),
        later=5,
        code="naming_board_is_of_another_model",
    ),
}


@pytest.mark.parametrize("case", REFUSED.values(), ids=REFUSED.keys())
def test_the_later_event_is_named(engine: Engine, case: Case) -> None:
    record(engine, *case.history)
    with pytest.raises(NotCorrectable) as refused:
        record(engine, case.correction)
    fault = refused.value
    assert (fault.why, fault.later) == ("later_event", case.later)
    assert case.code in [refusal.code for refusal in fault.refusals]
    with reading(engine) as connection:
        assert last_number(connection) == len(case.history)


def undone(history: list[Draft], correction: Draft) -> Undone | None:
    """The same in memory, where everything that was told is looked at."""
    *told, last = numbered([*history, correction])
    return undone_by(last, told, {who for event in told for who in event.subjects}, law())


@pytest.mark.parametrize("case", REFUSED.values(), ids=REFUSED.keys())
def test_the_later_event_is_found_in_memory_too(case: Case) -> None:
    found = undone(case.history, case.correction)
    assert found is not None
    assert found.event.seq == case.later


ALLOWED: dict[str, tuple[list[Draft], Draft]] = {
    "nothing rests on it": ([plover(), removed("M1")], corrected(2)),
    "what rested on it is withdrawn first": (
        [plover(), removed("M1"), received("B1"), fitted("B1"), corrected(4)],
        corrected(2),
    ),
    "a later event that was refused by nothing is none of its business": (
        [plover(), removed("M1"), draft("exposed", board="M1", to="water")],
        corrected(2),
    ),
    "what is known may be so still without it": (
        [
            bare(),
            received("B1", **BLANK),
            fitted("B1"),
            entered("B1"),
            fitted("P9", **AT_PANEL),
            assigned("P9"),
        ],
        corrected(4),
    ),
    "it is found bound as the later steps need it": (
        [
            plover(),
            removed("M1"),
            received("B1", **BLANK),
            fitted("B1", **AT_MAIN, model="plover-40"),
            entered("B1"),
            introduced("P1", "B1"),
        ],
        corrected(5, board="B1", **BOUND_40),
    ),
    "a board that is bound now may have been blank when it was assigned": (
        [
            plover(),
            removed("P1", **AT_PANEL),
            received("P9", "PN-2400"),
            fitted("P9", **AT_PANEL),
            assigned("P9"),
        ],
        corrected(3, board="P9", **BOUND_40),
    ),
}


@pytest.mark.parametrize(("history", "correction"), ALLOWED.values(), ids=ALLOWED.keys())
def test_it_may_be_withdrawn(engine: Engine, history: list[Draft], correction: Draft) -> None:
    record(engine, *history)
    assert record(engine, correction)[0].seq == len(history) + 1


@pytest.mark.parametrize(("history", "correction"), ALLOWED.values(), ids=ALLOWED.keys())
def test_nothing_is_undone_in_memory_either(history: list[Draft], correction: Draft) -> None:
    assert undone(history, correction) is None


def test_what_was_not_legal_before_does_not_stand_in_the_way() -> None:
    """Such events are in ledgers that were filled before anything was judged."""
    told = [plover(), bare("U2"), draft("tested", board="M1", passed=True), fitted("M1", "U2")]
    assert undone(told, corrected(3)) is None


def test_the_reading_that_comes_with_it_binds_at_once(engine: Engine) -> None:
    told = [
        bare(),
        received("B1", **BLANK),
        fitted("B1"),
        entered("B1"),
        corrected(4, board="B1", **BOUND_60),
    ]
    record(engine, *told)
    with reading(engine) as connection:
        rows = connection.execute(select(BINDINGS).order_by(BINDINGS.c.epoch)).all()
    assert [tuple(row) for row in rows] == [("B1", 1, "plover-40", 4), ("B1", 2, "plover-60", 5)]


def test_a_scrapped_board_comes_back_by_a_correction(engine: Engine) -> None:
    record(engine, bare(), received("B1"), draft("scrapped", board="B1"), corrected(3), fitted("B1"))
