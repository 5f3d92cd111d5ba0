"""Who sits where: fitting, removing, finding, and reading out."""

from __future__ import annotations

import pytest

from service.domain.facts.records import Hold
from service.domain.ledger.event import Draft
from tests.ledger.telling import (
    AT_LAMP,
    AT_MAIN,
    AT_PANEL,
    LAMP,
    MAIN,
    PANEL,
    board_after,
    draft,
    factory_set,
    fit,
    remove,
    unit_after,
)


def test_a_registered_unit_is_as_its_plate_and_papers_say() -> None:
    unit = unit_after(
        "U1", draft("registered", unit="U1", model="plover-40", market="isles", made_on="2024-05-01")
    )
    assert (unit.registered, unit.in_service, unit.model, unit.market) == (True, True, "plover-40", "isles")
    assert unit.made_on is not None
    assert unit.made_on.isoformat() == "2024-05-01"


def test_a_unit_that_was_only_spoken_of_is_not_registered() -> None:
    unit = unit_after("U1", fit("B1"))
    assert (unit.registered, unit.in_service, unit.model) == (False, False, None)


def test_the_factorys_set_sits_in_its_places_and_changes_none() -> None:
    unit = unit_after("U1", factory_set())
    assert {place: board.serial for place, board in unit.boards.items()} == {MAIN: "M1", PANEL: "P1"}
    assert unit.changed == unit.emptied == frozenset()
    assert board_after("M1", factory_set()).in_unit == "U1"


def test_a_received_board_is_in_our_hands_and_in_no_unit() -> None:
    board = board_after("B1", draft("received", board="B1", part="p-1", release="1.1", binding="blank"))
    assert (board.in_custody, board.in_unit, board.part, board.release) == (True, None, "p-1", "1.1")
    assert board.held_serial == ""


def test_a_removed_board_leaves_its_place_empty_and_remembers_its_donor() -> None:
    history = [factory_set(), remove("M1")]
    unit, board = unit_after("U1", *history), board_after("M1", *history)
    assert unit.emptied == unit.changed == {MAIN}
    assert MAIN not in unit.boards
    assert (board.in_unit, board.role, board.donor, board.in_custody) == (None, None, "U1", True)


def test_a_board_without_a_readable_label_leaves_its_place_empty_too() -> None:
    unit = unit_after("U1", factory_set(), draft("removed", unit="U1", **AT_LAMP))
    assert unit.emptied == unit.changed == {LAMP}


def test_the_board_that_was_recorded_where_an_unreadable_one_came_out_sits_there_no_more() -> None:
    taken = draft("removed", unit="U1", recorded="M1", **AT_MAIN)
    board = board_after("M1", factory_set(), taken)
    assert (board.in_unit, board.role, board.donor, board.in_custody) == (None, None, "U1", False)
    assert (board.held_serial, board.tested) == (None, False)
    assert board.binding.values == frozenset({"plover-40"}), "what is permanent stays"
    assert unit_after("U1", factory_set(), taken).emptied == {MAIN}


def test_a_board_that_sits_elsewhere_by_now_stays_there() -> None:
    taken = draft("removed", unit="U2", recorded="M1", **AT_MAIN)
    assert board_after("M1", factory_set(), taken).in_unit == "U1"


def test_a_fitted_board_fills_the_place() -> None:
    history = [factory_set(), remove("M1"), fit("B1")]
    unit = unit_after("U1", *history)
    assert unit.emptied == frozenset()
    assert unit.changed == {MAIN}
    assert unit.boards[MAIN].serial == "B1"


def test_a_board_taken_along_by_others_is_out_of_our_hands() -> None:
    gone = draft("removed", board="M1", unit="U1", **AT_MAIN, kept=False)
    board = board_after("M1", factory_set(), gone)
    assert (board.in_custody, board.held_serial) == (False, None)
    assert board.binding.values == frozenset({"plover-40"})


def test_a_found_board_closes_its_old_place_and_goes_under_query() -> None:
    found = draft("found", board="M1", was={"unit": "U1", "role": "main"}, in_custody=True)
    history = [factory_set(), found]
    unit, board = unit_after("U1", *history), board_after("M1", *history)
    assert unit.emptied == unit.changed == {MAIN}
    assert board.holds == (Hold(kind="under_query", since=2),)
    assert (board.in_unit, board.donor, board.in_custody) == (None, "U1", True)


def test_a_board_found_in_another_unit_sits_there() -> None:
    found = draft(
        "found", board="M1", was={"unit": "U1", "role": "main"}, unit="U2", **AT_MAIN, in_custody=False
    )
    history = [factory_set(), found]
    assert unit_after("U1", *history).emptied == {MAIN}
    assert unit_after("U2", *history).boards[MAIN].serial == "M1"
    assert unit_after("U2", *history).changed == {MAIN}


def test_reading_an_untouched_board_names_the_factorys_and_changes_nothing() -> None:
    read = draft("read_out", board="X1", unit="U1", **AT_MAIN, binding="bound", bound_model="plover-40")
    unit = unit_after("U1", draft("registered", unit="U1", model="plover-40"), read)
    assert unit.boards[MAIN].serial == "X1"
    assert unit.changed == frozenset()


def test_reading_another_board_than_recorded_says_that_the_place_was_changed() -> None:
    read = draft("read_out", board="X1", unit="U1", **AT_MAIN)
    unit = unit_after("U1", factory_set(), read)
    assert unit.boards[MAIN].serial == "X1"
    assert unit.changed == {MAIN}


def test_where_a_board_strayed_from_nobody_knows_what_sits() -> None:
    strayed = draft("read_out", board="M1", unit="U2", **AT_MAIN)
    unit = unit_after("U1", factory_set(), strayed)
    assert MAIN not in unit.boards
    assert MAIN in unit.changed
    assert MAIN not in unit.emptied


def test_places_of_one_role_are_apart() -> None:
    left = {"role": "bumper", "place": "left", "policy": "free"}
    right = {"role": "bumper", "place": "right", "policy": "free"}
    unit = unit_after("U1", fit("B1", **left), fit("B2", **right), remove("B1", **left))
    assert {(place[1], board.serial) for place, board in unit.boards.items()} == {("right", "B2")}
    assert unit.emptied == {("bumper", "left")}


def test_holder_and_donor_are_looked_up() -> None:
    history = [factory_set(), remove("M1"), draft("hold_placed", unit="U1", hold="reported_stolen")]
    board = board_after("M1", *history)
    assert (board.held_serial, board.holder_in_service, board.donor_held) == ("U1", True, True)
    ended = board_after("M1", *history, draft("dismantled", unit="U1"))
    assert ended.holder_in_service is False


@pytest.mark.parametrize(
    ("holds", "expected"),
    [({}, (None, None)), ({"holds": ""}, ("", None)), ({"holds": "U9"}, ("U9", False))],
)
def test_what_serial_a_board_holds(holds: dict[str, str], expected: tuple[str | None, bool | None]) -> None:
    board = board_after("B1", draft("read_out", board="B1", **holds))
    assert (board.held_serial, board.holder_in_service) == expected


def test_a_blank_board_that_may_have_been_bound_may_hold_a_serial() -> None:
    blank = draft("received", board="B1", binding="blank")
    assert board_after("B1", blank).held_serial == ""
    assert board_after("B1", blank, fit("B1")).held_serial is None


def test_events_of_others_leave_a_place_alone() -> None:
    other: list[Draft] = [fit("B7", "U7"), remove("B7", "U7"), fit("B8", "U8", **AT_PANEL)]
    assert unit_after("U1", factory_set(), *other) == unit_after("U1", factory_set())
