"""Steps with the programming tool, tests, exposure, holds, accessories, and ends."""

from __future__ import annotations

from typing import Any

import pytest

from service.domain.ledger.event import Draft
from service.domain.terms import Condition
from tests.ledger.telling import (
    AT_PANEL,
    MAIN,
    PANEL,
    board_after,
    draft,
    factory_set,
    unit_after,
)

PASSED = draft("tested", board="B1", passed=True)
FAILED = draft("tested", board="B1", passed=False)
WET = draft("exposed", board="B1", to="water")
MAYBE_WET = draft("exposed", board="B1", to="water", certain=False)
SCRAPPED = draft("scrapped", board="B1")

CONDITIONS: list[tuple[list[Draft], set[str]]] = [
    ([draft("received", board="B1")], {"usable"}),
    ([FAILED], {"failed"}),
    ([FAILED, PASSED], {"usable"}),
    ([WET], {"exposed"}),
    ([WET, PASSED], {"usable"}),
    ([WET, FAILED], {"failed"}),
    ([MAYBE_WET], {"exposed", "usable"}),
    ([MAYBE_WET, PASSED], {"usable"}),
    ([FAILED, MAYBE_WET], {"exposed", "failed"}),
    ([PASSED, WET], {"exposed"}),
    ([SCRAPPED], {"scrapped"}),
    ([SCRAPPED, PASSED], {"scrapped"}),
    ([SCRAPPED, MAYBE_WET], {"scrapped"}),
    ([SCRAPPED, draft("corrected", withdraws=1, reason="wrong board")], {"usable"}),
]


@pytest.mark.parametrize(("history", "expected"), CONDITIONS, ids=range(len(CONDITIONS)))
def test_a_boards_condition(history: list[Draft], expected: set[str]) -> None:
    assert board_after("B1", *history).conditions == set(map(Condition, expected))


def step(how: str, kind: str, board: str = "B1", **more: Any) -> Draft:
    return draft(f"step_{how}", step=kind, board=board, unit="U1", **more)


LOADED = draft("step_finished", step="load", board="B1", release="1.1")
RELEASES: list[tuple[list[Draft], str | None]] = [
    ([LOADED], "1.1"),
    ([LOADED, draft("step_started", step="load", board="B1")], None),
    ([LOADED, draft("step_failed", step="load", board="B1")], None),
    ([LOADED, step("failed", "enter_serial", model="m")], None),
    ([LOADED, step("failed", "assign", model="m")], None),
    ([LOADED, step("started", "enter_serial", model="m")], "1.1"),
    ([LOADED, step("failed", "calibrate")], "1.1"),
    ([LOADED, step("finished", "enter_serial", model="m")], "1.1"),
    ([draft("read_out", board="B1", release="1.0"), LOADED], "1.1"),
]


@pytest.mark.parametrize(("history", "expected"), RELEASES, ids=range(len(RELEASES)))
def test_a_boards_release(history: list[Draft], expected: str | None) -> None:
    assert board_after("B1", *history).release == expected


def test_a_serial_that_was_entered_is_held() -> None:
    entered = [factory_set(), step("finished", "enter_serial", model="plover-40")]
    board = board_after("B1", *entered)
    assert (board.held_serial, board.holder_in_service) == ("U1", True)
    assert board.binding.values == frozenset({"plover-40"})
    again = draft("step_started", step="enter_serial", board="B1", unit="U2", model="plover-40")
    assert board_after("B1", *entered, again).held_serial is None


def test_a_step_that_broke_off_leaves_its_place_changed() -> None:
    broken = draft("step_failed", step="load", board="M1", unit="U1", role="main", policy="names")
    unit = unit_after("U1", draft("registered", unit="U1", model="plover-40"), broken)
    assert unit.changed == {MAIN}
    assert unit.boards[MAIN].serial == "M1"
    assert unit.not_introduced == frozenset()


def test_a_step_on_a_board_in_its_place_tells_that_it_sits_there() -> None:
    assigned = draft("step_finished", step="assign", board="P9", unit="U1", model="plover-40", role="panel")
    unit = unit_after("U1", draft("registered", unit="U1", model="plover-40"), assigned)
    assert unit.boards[PANEL].serial == "P9"
    assert unit.changed == frozenset()


def test_a_step_on_the_bench_puts_a_board_nowhere() -> None:
    assert board_after("B1", step("finished", "enter_serial", model="m")).in_unit is None


@pytest.mark.parametrize("kind", ["activate", "self_test", "erase_owner_data"])
def test_steps_that_change_no_record_count_alone(kind: str) -> None:
    before = unit_after("U1", factory_set())
    after = unit_after("U1", factory_set(), draft("step_finished", step=kind, unit="U1"))
    assert after.version == before.version + 1
    assert (after.boards, after.changed) == (before.boards, before.changed)


@pytest.mark.parametrize("subject", [{"board": "B1"}, {"unit": "U1"}])
def test_holds_are_placed_and_lifted_one_by_one(subject: dict[str, str]) -> None:
    stolen = draft("hold_placed", **subject, hold="reported_stolen")
    recalled = draft("hold_placed", **subject, hold="recalled")
    lifted = draft("hold_lifted", **subject, placed=1, confirmed_by="owner", evidence="letter on file")
    after = board_after if "board" in subject else unit_after
    (serial,) = subject.values()
    assert [hold.kind for hold in after(serial, stolen, recalled).holds] == ["reported_stolen", "recalled"]
    assert [hold.since for hold in after(serial, stolen, recalled, lifted).holds] == [2]


def test_accessories_are_counted_as_they_are_now() -> None:
    two = draft("accessory_fitted", unit="U1", accessory="battery_pack", amount=2)
    none = draft("accessory_fitted", unit="U1", accessory="battery_pack", amount=0)
    assert unit_after("U1", two, two).accessories == {"battery_pack": 2}
    assert unit_after("U1", two, none).accessories == {}


@pytest.mark.parametrize("kind", ["scrapped", "dismantled"])
def test_a_unit_that_ended_is_never_in_service_again(kind: str) -> None:
    ended = [factory_set(), draft(kind, unit="U1")]
    assert (unit_after("U1", *ended).registered, unit_after("U1", *ended).in_service) == (True, False)
    assert unit_after("U1", *ended, factory_set()).in_service is False
    assert unit_after("U1", *ended, draft("corrected", withdraws=2, reason="wrong unit")).in_service is True


def test_a_panel_read_in_its_place_is_recorded_there() -> None:
    read = draft("read_out", board="P1", unit="U1", **AT_PANEL, binding="used")
    assert unit_after("U1", read).boards[PANEL].binding.any_model
