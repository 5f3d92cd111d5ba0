"""What was done is recorded as it was told, completed, all of a job or nothing, and followed in order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.api.schemas.told import EVENTS
from service.demo import serials as s
from service.domain.ledger.event import Draft
from service.domain.ledger.kinds import KINDS
from service.store.append import append
from service.store.engine import writing
from service.usecases.caller import Scope
from tests.api.writing import history, last_number, record, refused, send, told
from tests.support.keys import a_key, bearer

UNIT, BOARD = s.CUSTOMER_PLOVER_40, s.BLANK_MAIN
PANEL = s.BLANK_PANEL_24
SWAP = (
    told("removed", unit=UNIT, role="main"),
    told("fitted", unit=UNIT, board=BOARD),
    told("step_finished", step="enter_serial", unit=UNIT, board=BOARD),
)
"""A new main board goes in and is programmed: three events of one job."""


@pytest.fixture
def client(world_app: Flask) -> FlaskClient:
    return world_app.test_client()


def test_a_job_is_recorded_with_words_and_versions(client: FlaskClient) -> None:
    first = last_number(client) + 1
    answer = record(client, *SWAP)
    assert [event["seq"] for event in answer["events"]] == [first, first + 1, first + 2]
    assert [event["kind"] for event in answer["events"]] == ["removed", "fitted", "step_finished"]
    assert answer["events"][2]["text"] == (
        f"Entering the serial number of the Plover 40 {UNIT} into the main board {BOARD} was finished. "
        "It is bound to a Plover 40, permanently."
    )
    assert {"board": BOARD, "version": 3} in answer["versions"]
    assert {"unit": UNIT, "version": 4} in answer["versions"]
    board = client.get(f"/v1/boards/{BOARD}").get_json()
    assert (board["bound_models"], board["version"]) == (["plover-40"], 3)
    assert client.get(f"/v1/units/{UNIT}").get_json()["version"] == 4


def test_a_board_that_was_recorded_where_an_unreadable_one_came_out_is_told_so_on_its_own_page(
    client: FlaskClient,
) -> None:
    record(client, *SWAP)
    (event,) = record(client, told("removed", unit=UNIT, role="main"))["events"]
    assert event["data"]["recorded"] == BOARD
    assert event["text"].endswith(f"The main board {BOARD} was recorded there, and is so no more.")
    board = client.get(f"/v1/boards/{BOARD}").get_json()
    assert "fitted_in" not in board
    assert (board["in_custody"], board["version"]) == (False, 4)
    assert history(client, "board", BOARD)[-1]["kind"] == "removed"


def test_it_leaves_the_place_too_that_it_took_in_the_same_call(client: FlaskClient) -> None:
    record(
        client,
        *SWAP,
        told("removed", unit=UNIT, role="main"),
        told("fitted", unit=UNIT, board=s.USED_MAIN_40),
    )
    assert "fitted_in" not in client.get(f"/v1/boards/{BOARD}").get_json()
    assert client.get(f"/v1/boards/{s.USED_MAIN_40}").get_json()["fitted_in"]["unit"] == UNIT


def test_what_is_left_out_is_filled_in(client: FlaskClient) -> None:
    record(client, *SWAP)
    (fitted,) = record(client, told("fitted", unit=UNIT.lower(), board=f" {PANEL[:4]} {PANEL[4:]}"))["events"]
    assert fitted["data"] == {
        "board": PANEL, "unit": UNIT, "role": "panel", "policy": "follows", "model": "plover-40",
    }  # fmt: skip
    done = record(
        client,
        told("step_finished", step="assign", unit=UNIT, board=PANEL),
        told("step_finished", step="introduce", unit=UNIT, board=PANEL),
    )["events"]
    assert done[1]["data"]["naming"] == {"board": BOARD, "role": "main"}
    assert client.get(f"/v1/units/{UNIT}").get_json()["agreement"] == "agree"


def test_the_part_is_read_off_the_label_where_nothing_else_tells_it(client: FlaskClient) -> None:
    new = s.board_serial("M41", 2024, 40, 7001)
    (received,) = record(client, told("received", board=new, binding="blank", holds=""))["events"]
    assert received["data"]["part"] == "MN-4100"


def test_a_serial_that_is_recorded_is_taken_whatever_its_check_character_says(
    world: Engine, client: FlaskClient
) -> None:
    board = "TBM4124382004X"
    test = told("tested", board=board, passed=True)
    refused(client, test, status=422)
    received = Draft(kind="received", occurred_at=datetime(2026, 1, 5, tzinfo=UTC), data={"board": board})
    with writing(world) as connection:
        append(connection, [received])
    record(client, test)


def test_a_serial_of_no_known_scheme_is_taken(client: FlaskClient) -> None:
    (received,) = record(client, told("received", board="zz-99 / 7", part="MN-4100"))["events"]
    assert received["data"] == {"board": "ZZ997", "part": "MN-4100"}


def test_the_time_is_now_unless_it_is_told(client: FlaskClient) -> None:
    earlier = "2026-01-05T09:30:00+01:00"
    now, then = record(
        client,
        told("tested", board=BOARD, passed=True),
        {**told("tested", board=BOARD, passed=True), "occurred_at": earlier},
    )["events"]
    assert now["occurred_at"] == now["recorded_at"]
    assert datetime.now(UTC) - datetime.fromisoformat(now["occurred_at"]) < timedelta(minutes=1)
    assert then["occurred_at"] == "2026-01-05T08:30:00Z"


def test_of_several_events_all_are_recorded_or_none(client: FlaskClient) -> None:
    wrong = told("step_finished", step="enter_serial", unit=s.CUSTOMER_PLOVER_60, board=BOARD)
    refused(client, *SWAP, wrong)
    assert client.get(f"/v1/boards/{BOARD}").get_json()["version"] == 1


def test_a_version_that_was_seen_is_relied_on(client: FlaskClient) -> None:
    seen = [{"board": BOARD, "version": 1}, {"unit": UNIT, "version": 1}]
    record(client, told("tested", board=BOARD, passed=True), expected=seen)
    problem = refused(client, *SWAP, expected=seen)
    assert problem["code"] == "version_conflict"
    (board,) = problem["now"]["boards"]
    assert (board["board"], board["version"], board["may_be_blank"]) == (BOARD, 2, True)
    assert board["text"] == f"The main board {BOARD} is blank. It is in the shop."
    record(client, *SWAP, expected=[{"board": BOARD, "version": board["version"]}])


def test_nothing_recorded_is_version_0(client: FlaskClient) -> None:
    new = s.board_serial("M41", 2024, 41, 7002)
    assert "version" not in client.get(f"/v1/boards/{new}").get_json()
    record(client, told("received", board=new), expected=[{"board": new.lower(), "version": 0}])
    refused(client, told("received", board=new), expected=[{"board": new, "version": 0}])


def test_a_board_is_bound_once(client: FlaskClient) -> None:
    record(client, *SWAP)
    other = s.CUSTOMER_PLOVER_60
    problem = refused(client, told("step_finished", step="enter_serial", unit=other, board=BOARD))
    assert problem["code"] in {"already_bound", "not_legal"}
    assert "bound_to_other_model" in {each["code"] for each in problem["refusals"]}
    (board,) = (each for each in problem["now"]["boards"] if each["board"] == BOARD)
    assert board["bound_models"] == ["plover-40"]
    assert problem["instead"]


def test_a_correction_withdraws_and_lists_the_answers_given(client: FlaskClient) -> None:
    record(client, *SWAP)
    bound = history(client, "board", BOARD)[-1]["seq"]
    answer = record(
        client,
        told("corrected", withdraws=bound, reason="it was another machine", board=BOARD, binding="blank"),
    )
    assert "answers_given" not in answer
    (event,) = answer["events"]
    assert event["text"].startswith(f"Event {bound} was withdrawn: it was another machine.")
    assert client.get(f"/v1/boards/{BOARD}").get_json()["may_be_blank"]


def test_the_answers_since_what_is_withdrawn_are_told(client: FlaskClient) -> None:
    board = s.USED_MAIN_40
    test = history(client, "board", board)[-1]["seq"]
    record(client, told("sale_checked", board=board, check="c-1"), told("sold", board=board, check="c-1"))
    answer = record(client, told("corrected", withdraws=test, reason="another board was tested"))
    given = answer["answers_given"]
    assert [(each["kind"], each["check"], each["board"]) for each in given] == [
        ("sale_checked", "c-1", board),
        ("sold", "c-1", board),
    ]


def test_the_answers_that_were_given_for_a_machine_are_told_too(client: FlaskClient) -> None:
    accessory = told("accessory_fitted", unit=UNIT, accessory="battery_pack", amount=1)
    seq = record(client, accessory)["events"][0]["seq"]
    question = {"board": {"serial": s.USED_MAIN_40}, "unit": {"serial": UNIT}}
    check = client.post("/v1/sale-checks", json=question, headers={"Idempotency-Key": "a-check-of-the-till"})
    answer = record(client, told("corrected", withdraws=seq, reason="another machine"))
    (given,) = answer["answers_given"]
    assert (given["check"], given["unit"]) == (check.get_json()["id"], UNIT)


@pytest.mark.parametrize("withdraws", [999_999, 0])
def test_an_event_that_does_not_exist_cannot_be_withdrawn(client: FlaskClient, withdraws: int) -> None:
    problem = refused(client, told("corrected", withdraws=withdraws, reason="typing error"))
    assert (problem["code"], "no event of this number" in problem["detail"]) == ("not_correctable", True)


def test_an_event_is_withdrawn_once(client: FlaskClient) -> None:
    seq = record(client, told("tested", board=BOARD, passed=False))["events"][0]["seq"]
    correction = told("corrected", withdraws=seq, reason="another board")
    again = record(client, correction)["events"][0]["seq"]
    assert "withdrawn already" in refused(client, correction)["detail"]
    refused(client, told("corrected", withdraws=again, reason="no"))


def test_correcting_needs_a_key_for_administering(world: Engine, client: FlaskClient) -> None:
    headers = bearer(a_key(world, Scope.RECORD))
    record(client, told("tested", board=BOARD, passed=True), headers=headers)
    response = send(client, told("corrected", withdraws=1, reason="typing error"), headers=headers)
    assert (response.status_code, response.get_json()["code"]) == (403, "insufficient_scope")
    assert 'scope="administer"' in response.headers["WWW-Authenticate"]


def test_the_feed_tells_everything_once_and_in_order(client: FlaskClient) -> None:
    record(client, *SWAP)
    seen: list[int] = []
    after = 0
    while True:
        response = client.get(f"/v1/events?after={after}&page_size=37")
        page = response.get_json()
        seen += [event["seq"] for event in page["items"]]
        assert ("Link" in response.headers) == (len(page["items"]) == 37)
        if not page["items"]:
            break
        after = page["next_after"]
    assert seen == list(range(1, len(seen) + 1))
    assert page["next_after"] == after
    record(client, told("tested", board=BOARD, passed=True))
    (last,) = client.get(f"/v1/events?after={after}").get_json()["items"]
    assert last["kind"] == "tested"
    assert last["subjects"] == [{"board": BOARD, "version": 4}]


def test_what_was_recorded_has_an_address(client: FlaskClient) -> None:
    response = send(client, *SWAP)
    record(client, told("tested", board=BOARD, passed=True))
    assert client.get(response.headers["Location"]).get_json()["items"] == response.get_json()["events"]


def test_the_feed_says_so_where_nothing_is_new(client: FlaskClient) -> None:
    target = f"/v1/events?after={last_number(client)}"
    response = client.get(target)
    assert response.get_json()["items"] == []
    tag = {"If-None-Match": response.headers["ETag"]}
    assert client.get(target, headers=tag).status_code == 304
    record(client, told("tested", board=BOARD, passed=True))
    assert client.get(target, headers=tag).status_code == 200


def test_both_pages_can_be_read_as_a_diary(client: FlaskClient) -> None:
    plain = {"Accept": "text/plain"}
    text = send(client, *SWAP, headers=plain).get_data(as_text=True)
    assert "was taken out of" in text
    assert f"The main board {BOARD} was fitted into the Plover 40 {UNIT}." in text
    assert "go on with after=" in client.get("/v1/events", headers=plain).get_data(as_text=True)


def test_every_kind_of_the_ledger_can_be_told(client: FlaskClient) -> None:
    assert set(EVENTS) == {row.kind.value for row in KINDS.values()}
    unit, board = s.FULLY_RECORDED_PLOVER_60, s.RECALLED_LIFT
    hold = next(each["seq"] for each in history(client, "board", board) if each["kind"] == "hold_placed")
    jobs: list[list[dict[str, Any]]] = [
        [
            told(
                "registered",
                unit=s.unit_serial("PL", 2024, 22, 4001),
                model="plover-40",
                market="isles",
                made_on="2024-05-31",
            )
        ],
        [told("accessory_fitted", unit=unit, accessory="battery_pack", amount=2)],
        [told("hold_lifted", board=board, placed=hold, confirmed_by="maker", evidence="letter of the maker")],
        [told("hold_placed", unit=unit, hold="under_query")],
        [told("exposed", board=board, to="water", certain=False), told("tested", board=board, passed=True)],
        [
            told("sale_checked", board=board, check="c-2"),
            told("sold", board=board, check="c-2", customer="k-77"),
        ],
        [told("returned", board=board), told("scrapped", board=board)],
        [told("read_out", board=s.USED_MAIN_UNKNOWN, binding="bound", bound_model="wren-8")],
        [told("found", board=s.PANEL_NOT_INTRODUCED, in_custody=True)],
        [told("step_started", step="load", board=BOARD), told("step_failed", step="load", board=BOARD)],
        [told("converted", unit=s.CUSTOMER_WREN_4, into=s.unit_serial("WB", 2024, 30, 4002), model="wren-8")],
        [told("dismantled", unit=s.TWO_PACK_PLOVER_60)],
        [told("received", board=s.board_serial("M41", 2024, 40, 7003))],
        list(SWAP),
    ]
    done = {event["kind"] for job in jobs for event in record(client, *job)["events"]}
    done.add(
        record(client, told("corrected", withdraws=1, reason="it was another machine"))["events"][0]["kind"]
    )
    assert done == set(EVENTS)
