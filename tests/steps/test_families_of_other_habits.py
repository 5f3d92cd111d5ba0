"""Families whose papers are fine and whose habits are not the usual ones: no question fails because of them.

Each is the trade-practice catalogue with one place changed; where the change makes no sense, the check of the
catalogue has to say so, and where it does, the plan follows it.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.api.asking import question
from service.domain.fit.answer import Answer
from service.papers import check
from tests.laws.engine import SCHEMA
from tests.steps.plans import steps
from tests.support.cases import answer
from tests.trade.shops import opened

TRADE = (Path(__file__).parents[1] / "catalogues/trade_practice.yaml").read_text(encoding="utf-8")
NEW_PAIR = [
    {"part": "MAIN-1", "claimed": {"binding": "blank"}},
    {"part": "PANEL-2", "claimed": {"binding": "blank"}},
]
LIFT = [{"part": "LIFT-1"}]
TEST = "      {step: self_test, who: dealer, minutes: [10, 15]},\n    ]\n"


def changed(old: str, new: str) -> str:
    """The catalogue with the first such place, the small range's, changed."""
    assert old in TRADE
    return TRADE.replace(old, new, 1)


def step(kind: str, *, tool: bool = True, minutes: str = "[5, 10]") -> str:
    return f"{{step: {kind}, who: dealer, minutes: {minutes}{', tool: true' if tool else ''}}}"


def exchanged(one: str, other: str) -> str:
    """Two steps that follow each other, the other way round."""
    told = [step(one), step(other)]
    if one == "remove":
        told = [step(kind, tool=False, minutes="[10, 20]") for kind in (one, other)]
    return changed(",\n      ".join(told), ",\n      ".join(reversed(told)))


def asked(text: str, boards: list[dict[str, Any]]) -> Answer:
    put = question(SCHEMA.load({"unit": {"model": "small"}, "boards": boards}))
    return answer(opened(text).compiled, put)


@pytest.mark.parametrize(
    ("one", "other"), [("enter_serial", "assign"), ("assign", "introduce"), ("remove", "mount")]
)
def test_an_order_that_cannot_be_worked_is_a_fault_of_the_catalogue(one: str, other: str) -> None:
    assert check(exchanged(one, other)) != []


def test_loading_software_into_a_board_that_carries_none_is_a_fault_of_the_catalogue() -> None:
    needs = f"      {step('load')},\n{TEST}    free_part_needs: {{lift: [load]}}\n"
    assert check(changed(TEST, needs)) != []


def test_a_free_part_that_has_to_be_calibrated_with_the_tool() -> None:
    needs = f"      {step('calibrate')},\n{TEST}    free_part_needs: {{lift: [calibrate]}}\n"
    found = asked(changed(TEST, needs), LIFT)
    assert found.programming == "needed"
    assert [told.kind for told in steps(found)] == ["remove", "mount", "calibrate", "self_test"]


def test_setting_up_again_is_no_need_of_a_free_part() -> None:
    activate = "{step: activate, subject: hub, name: hub, who: dealer, minutes: [1, 2], tool: true}"
    needs = f"      {activate},\n{TEST}    free_part_needs: {{lift: [activate]}}\n"
    assert [fault.code for fault in check(changed(TEST, needs))] != []


def test_a_self_test_that_takes_the_tool_makes_programming_needed() -> None:
    found = asked(changed(TEST, f"      {step('self_test')},\n    ]\n"), LIFT)
    assert any(told.tool for told in steps(found))
    assert found.programming == "needed"


def test_a_panel_is_bound_only_after_the_main_board_that_gives_it_its_model_was_read() -> None:
    """Nobody has read the main board; were it a bigger machine's, the panel would be that one's for ever."""
    found = asked(TRADE, [{"part": "PANEL-2", "read": {"binding": "blank"}}])
    names = [told.name for told in steps(found)]
    assert [told.basis for told in found.reasons if told.reason.code == "must_be_assigned"] == ["read"]
    assert ("read_out", "main", False, "") in names
    assert names.index(("read_out", "main", False, "")) < names.index(("assign", "panel", False, ""))
