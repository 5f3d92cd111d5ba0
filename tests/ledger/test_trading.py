"""Boards that are tested, sold and come back, and machines that become another model."""

from __future__ import annotations

from typing import Any

import pytest

from service.domain.ledger.event import Draft
from tests.ledger.telling import (
    AT_LAMP,
    AT_MAIN,
    MAIN,
    board_after,
    draft,
    factory_set,
    fit,
    remove,
    states_after,
    unit_after,
)

RECEIVED = draft("received", board="B1", part="p-1", binding="blank")
SOLD = draft("sold", board="B1", customer="customer-7")
RETURNED = draft("returned", board="B1", part="p-1")
FOUND = draft("found", board="B1", in_custody=True)
PASSED = draft("tested", board="B1", passed=True)


def test_a_board_that_was_sold_is_out_of_our_hands_and_may_be_anything() -> None:
    board = board_after("B1", RECEIVED, PASSED, SOLD)
    assert (board.sold, board.in_custody, board.tested) == (True, False, False)
    assert (board.binding.values, board.held_serial) == (None, None)


@pytest.mark.parametrize("back", [RETURNED, RECEIVED, FOUND], ids=lambda event: event.kind)
def test_a_board_that_came_back_is_not_sold_any_more_and_not_tested(back: Draft) -> None:
    board = board_after("B1", RECEIVED, PASSED, SOLD, back)
    assert (board.sold, board.in_custody, board.tested) == (False, True, False)


def test_a_sold_board_that_is_fitted_stays_the_customers() -> None:
    assert board_after("B1", RECEIVED, SOLD, fit("B1"), remove("B1")).sold


def test_a_sale_check_changes_nothing_but_the_version() -> None:
    before = board_after("B1", RECEIVED)
    after = board_after("B1", RECEIVED, draft("sale_checked", board="B1", check="c-1", unit="U1"))
    assert (before.version, after.version) == (1, 2)
    assert (before.in_custody, before.binding, before.sold) == (after.in_custody, after.binding, after.sold)


BROKEN_OFF = draft("step_failed", step="load", board="B1")
TESTED: dict[str, tuple[list[Draft], bool]] = {
    "nobody tested it": ([], False),
    "passed": ([PASSED], True),
    "failed": ([PASSED, draft("tested", board="B1", passed=False)], False),
    "perhaps exposed since": ([PASSED, draft("exposed", board="B1", to="water", certain=False)], False),
    "tested since the exposure": ([draft("exposed", board="B1", to="water"), PASSED], True),
    "a step broke off since": ([PASSED, BROKEN_OFF], False),
    "a step was done since": ([PASSED, draft("step_finished", step="load", board="B1")], True),
    "it went out with a machine": ([PASSED, fit("B1"), remove("B1")], False),
    "tested in the machine": ([fit("B1"), PASSED, remove("B1")], True),
    "tested in the machine, not kept": (
        [fit("B1"), PASSED, draft("removed", board="B1", unit="U1", **AT_MAIN, kept=False)],
        False,
    ),
    "it turned up elsewhere": ([PASSED, FOUND], False),
    "a scrapped board is not tested": ([draft("scrapped", board="B1"), PASSED], False),
    "scrapped after it passed": ([PASSED, draft("scrapped", board="B1")], False),
}


@pytest.mark.parametrize(("told", "expected"), TESTED.values(), ids=TESTED.keys())
def test_whether_a_board_counts_as_tested(told: list[Draft], expected: bool) -> None:
    assert board_after("B1", RECEIVED, *told).tested is expected


STAYS = {"board": "L1", **AT_LAMP}
CONVERTED: dict[str, Any] = {"unit": "U1", "into": "U2", "model": "plover-60"}


def test_a_converted_unit_ends_and_another_begins_with_what_stays() -> None:
    told = [factory_set(), fit("L1", **AT_LAMP), draft("converted", **CONVERTED, boards=[STAYS])]
    before, after = unit_after("U1", *told), unit_after("U2", *told)
    assert (before.in_service, before.converted, before.boards.keys() & {("lamp", "")}) == (
        False,
        False,
        set(),
    )
    assert (after.in_service, after.converted, after.model) == (True, True, "plover-60")
    assert {place: board.serial for place, board in after.boards.items()} == {("lamp", ""): "L1"}
    assert board_after("L1", *told).in_unit == "U2"


def test_a_unit_that_was_converted_is_never_in_service_again() -> None:
    told = [factory_set(), draft("converted", **CONVERTED), draft("registered", unit="U1", model="plover-40")]
    assert states_after(*told).units[unit_after("U1", *told).serial].ended
    assert not unit_after("U1", *told).in_service


def test_a_board_that_did_not_stay_is_recorded_in_the_converted_unit_still() -> None:
    told = [factory_set(), draft("converted", **CONVERTED)]
    assert board_after("M1", *told).in_unit == "U1"
    assert unit_after("U2", *told).boards.get(MAIN) is None
