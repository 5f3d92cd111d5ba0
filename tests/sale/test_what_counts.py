"""Small laws of the till: what a completion compares, what a board's events say, when a warranty is over."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.ledger.event import Event
from service.domain.sale.past import sold_by, was_out
from service.domain.sale.warranty import months_after
from service.usecases.sale.deciding import changes
from tests.ledger.telling import draft
from tests.trade.shops import numbered

TOLD = {
    "decision": "sell",
    "conditions": {"a": "", "b": "x: 1"},
    "to_pay": "10.00",
    "valid_until": "2026-01-19",
}
LAST, AFTER = date(2026, 1, 19), date(2026, 1, 20)


def changed(now: dict[str, Any], day: date = LAST) -> list[tuple[str, str | None, str | None]]:
    return [(each.what, each.was, each.now) for each in changes(TOLD, {**TOLD, **now}, day)]


def test_what_is_equal_is_no_change() -> None:
    assert changed({}) == changed({}, AFTER) == []


def test_decision_and_conditions_and_their_facts_count() -> None:
    assert changed({"decision": "ask_first"}) == [("decision", "sell", "ask_first")]
    assert changed({"conditions": {"b": "x: 2", "c": ""}}) == [
        ("a", "", None),
        ("b", "x: 1", "x: 2"),
        ("c", None, ""),
    ]


def test_a_price_counts_from_the_day_after_its_validity() -> None:
    dearer = {"to_pay": "11.00", "valid_until": "2026-02-02"}
    assert changed(dearer, LAST) == []
    assert changed(dearer, AFTER) == [("price", "10.00", "11.00")]
    assert changed({"valid_until": "2026-02-02"}, AFTER) == []


def events(*told: tuple[str, dict[str, Any]]) -> list[Event]:
    return [numbered(seq, draft(kind, **data)) for seq, (kind, data) in enumerate(told, 1)]


NEW = ("received", {"board": "B1", "part": "P-1"})
SOLD = ("sold", {"board": "B1", "check": "sc-1"})


@pytest.mark.parametrize(
    ("told", "out"),
    [
        ([NEW], False),
        ([NEW, ("tested", {"board": "B1", "passed": True})], False),
        ([NEW, ("hold_placed", {"board": "B1", "hold": "recalled"})], False),
        ([NEW, ("sale_checked", {"board": "B1", "check": "sc-1"})], False),
        ([("registered", {"board": "B1", "part": "P-1"})], False),
        ([NEW, ("exposed", {"board": "B1", "to": "water"})], True),
        ([NEW, ("fitted", {"board": "B1", "unit": "U1", "role": "lift", "policy": "free"})], True),
        ([NEW, SOLD], True),
        ([NEW, SOLD, ("corrected", {"withdraws": 2, "reason": "slip"})], False),
        ([NEW, SOLD, ("returned", {"board": "B1"})], True),
        (
            [("registered", {"unit": "U1", "boards": [{"board": "B1", "role": "lift", "policy": "free"}]})],
            True,
        ),
    ],
)
def test_whether_a_board_was_in_use(told: list[tuple[str, dict[str, Any]]], out: bool) -> None:
    assert was_out(events(*told)) is out


def test_which_sale_completed_a_check() -> None:
    found = sold_by(events(NEW, SOLD), "sc-1")
    assert found is not None
    assert found.seq == 2
    assert sold_by(events(NEW, SOLD), "sc-2") is None
    assert sold_by(events(NEW, SOLD, ("corrected", {"withdraws": 2, "reason": "slip"})), "sc-1") is None


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        ("2024-01-31", 1, "2024-02-29"),
        ("2023-01-31", 1, "2023-02-28"),
        ("2024-12-15", 1, "2025-01-15"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-03-03", 30, "2026-09-03"),
    ],
)
def test_months_later(day: str, months: int, later: str) -> None:
    assert months_after(date.fromisoformat(day), months) == date.fromisoformat(later)


@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(1, 600))
def test_months_later_is_in_that_month(day: date, months: int) -> None:
    later = months_after(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day <= day.day
