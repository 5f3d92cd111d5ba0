"""An event that cannot have happened is refused, with what is true now and the event that would be right."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.demo import serials as s
from service.domain.recording.legality import CODES
from service.words.recording_texts import MEANINGS, REFUSALS
from tests.api.writing import history, record, refused, send, told

UNIT, OTHER = s.CUSTOMER_PLOVER_40, s.FULLY_RECORDED_PLOVER_60
MAIN, PANEL = s.BLANK_MAIN, s.BLANK_PANEL_24


@pytest.fixture
def client(world_app: Flask) -> FlaskClient:
    return world_app.test_client()


def main_of(client: FlaskClient, unit: str) -> str:
    """The main board that is recorded in a unit."""
    boards = client.get(f"/v1/units/{unit}").get_json()["boards"]
    return str(next(board["serial"] for board in boards if board["role"] == "main"))


def codes(problem: dict[str, Any]) -> list[str]:
    assert problem["code"] == "not_legal"
    return [each["code"] for each in problem["refusals"]]


def test_a_board_is_not_in_two_units_and_found_is_the_way_on(client: FlaskClient) -> None:
    board = main_of(client, OTHER)
    taken_out, fitted = told("removed", unit=UNIT, role="main"), told("fitted", unit=UNIT, board=board)
    problem = refused(client, taken_out, fitted)
    assert (problem["position"], codes(problem)) == (1, ["fitted_elsewhere"])
    assert problem["errors"][0]["pointer"] == "#/events/1"
    assert problem["errors"][0]["detail"] == problem["refusals"][0]["text"]
    assert problem["refusals"][0]["text"] == (
        f"The main board {board} is recorded in the Plover 60 {OTHER}, as its main board."
    )
    here = next(each for each in problem["now"]["boards"] if each["board"] == board)
    assert here["fitted_in"] == {"unit": OTHER, "role": "main"}
    assert [each["kind"] for each in problem["instead"]] == ["found"]
    record(client, *problem["instead"], taken_out, fitted)
    assert main_of(client, UNIT) == board
    assert client.get(f"/v1/boards/{board}").get_json()["clearance"] == "held"


def test_a_place_that_is_taken_is_emptied_first(client: FlaskClient) -> None:
    fitted = told("fitted", unit=OTHER, board=MAIN)
    problem = refused(client, fitted)
    assert codes(problem) == ["place_is_taken"]
    (taken,) = problem["now"]["units"]
    assert {"role": "main", "board": main_of(client, OTHER)} in taken["boards"]
    record(client, *problem["instead"], fitted)
    assert main_of(client, OTHER) == MAIN


def test_a_blank_main_board_assigns_nothing(client: FlaskClient) -> None:
    record(
        client,
        told("removed", unit=UNIT, role="main"),
        told("fitted", unit=UNIT, board=MAIN),
        told("removed", unit=UNIT, role="panel"),
        told("fitted", unit=UNIT, board=PANEL),
        told("read_out", unit=UNIT, board=MAIN, binding="blank"),
    )
    assign = told("step_finished", step="assign", unit=UNIT, board=PANEL)
    problem = refused(client, assign)
    assert codes(problem) == ["naming_board_is_blank"]
    (instead,) = problem["instead"]
    assert (instead["data"]["step"], instead["data"]["board"]) == ("enter_serial", MAIN)
    record(client, instead, assign)
    assert client.get(f"/v1/boards/{PANEL}").get_json()["bound_models"] == ["plover-40"]


def test_a_load_that_broke_off_leaves_unknowns(client: FlaskClient) -> None:
    swap = (told("removed", unit=UNIT, role="main"), told("fitted", unit=UNIT, board=MAIN))
    before = client.get(f"/v1/fit?board={MAIN}&unit={UNIT}").get_json()
    (*_, failed) = record(client, *swap, told("step_failed", step="load", unit=UNIT, board=MAIN))["events"]
    assert failed["text"].endswith("What it holds now is not known: read it out before anything else.")
    board = client.get(f"/v1/boards/{MAIN}").get_json()
    assert (board["may_be_blank"], board["bound_models"]) == (True, ["plover-40"])
    assert before["outcome"] == "fits_with_programming"


def test_a_scrapped_board_comes_back_by_a_correction_alone(client: FlaskClient) -> None:
    board = s.SCRAPPED_MAIN
    test = told("tested", board=board, passed=True)
    problem = refused(client, test)
    assert codes(problem) == ["board_is_scrapped"]
    scrapped = history(client, "board", board)[-1]["seq"]
    (instead,) = problem["instead"]
    assert instead == {"kind": "corrected", "data": {"withdraws": scrapped}}
    # Why it is withdrawn is for a person to say.
    assert send(client, instead).status_code == 422
    record(client, told("corrected", **instead["data"], reason="it was the one beside it"), test)
    assert client.get(f"/v1/boards/{board}").get_json()["conditions"] == ["usable"]


def test_an_event_of_the_same_call_has_a_place_and_no_number(client: FlaskClient) -> None:
    scrapped, tested = told("scrapped", board=MAIN), told("tested", board=MAIN, passed=True)
    problem = refused(client, told("tested", board=MAIN, passed=True), scrapped, tested)
    assert problem["position"] == 2
    assert "was scrapped by event #/events/1." in problem["detail"]
    assert problem["refusals"][0]["facts"]["event"] == "#/events/1"
    # No correction is proposed: the number would be that of whatever is recorded next.
    assert problem["instead"] == []
    held = told("hold_placed", board=MAIN, hold="reported_stolen")
    problem = refused(client, held, told("sold", board=MAIN))
    assert (codes(problem), problem["instead"]) == (["board_is_held"], [])


def test_what_a_later_event_rests_on_is_not_withdrawn(client: FlaskClient) -> None:
    *_, fitted, bound = record(
        client,
        told("removed", unit=UNIT, role="main"),
        told("fitted", unit=UNIT, board=MAIN),
        told("step_finished", step="enter_serial", unit=UNIT, board=MAIN),
    )["events"]
    taken_out = told("removed", unit=UNIT, board=MAIN)
    later = record(client, taken_out)["events"][0]["seq"]
    problem = refused(client, told("corrected", withdraws=fitted["seq"], reason="another machine"))
    assert problem["code"] == "not_correctable"
    assert f"(event {bound['seq']})" in problem["detail"] or f"(event {later})" in problem["detail"]
    assert problem["refusals"]


def test_a_board_that_is_held_is_not_sold(client: FlaskClient) -> None:
    board = s.STOLEN_MAIN
    problem = refused(client, told("sold", board=board))
    assert codes(problem) == ["board_is_held"]
    assert problem["refusals"][0]["text"].endswith("reported stolen.")
    assert problem["instead"][0]["kind"] == "hold_lifted"


def test_the_second_to_bind_a_board_is_told_the_truth(client: FlaskClient) -> None:
    other = s.CUSTOMER_PLOVER_60
    record(
        client,
        told("removed", unit=UNIT, role="main"),
        told("fitted", unit=UNIT, board=MAIN),
        told("step_finished", step="enter_serial", unit=UNIT, board=MAIN),
        told("removed", unit=UNIT, board=MAIN),
        told("removed", unit=other, role="main"),
        told("fitted", unit=other, board=MAIN),
    )
    problem = refused(client, told("step_finished", step="enter_serial", unit=other, board=MAIN))
    assert "bound_to_other_model" in codes(problem)
    told_ = next(each for each in problem["refusals"] if each["code"] == "bound_to_other_model")
    assert told_["text"] == f"The main board {MAIN} is bound to a Plover 40, permanently."
    (board,) = (each for each in problem["now"]["boards"] if each["board"] == MAIN)
    assert (board["bound_models"], board["may_be_blank"]) == (["plover-40"], False)
    assert board["text"].startswith(f"The main board {MAIN} is bound to a Plover 40, permanently.")
    record(client, *problem["instead"])


def test_every_refusal_has_its_words_and_its_meaning() -> None:
    assert set(REFUSALS) == set(MEANINGS) == set(CODES)
