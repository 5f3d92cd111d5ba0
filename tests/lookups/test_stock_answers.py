"""Candidates and destinations over HTTP, on the demo's world: each answer is the fit check's own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from service.demo import serials as s

Shown = dict[str, Any]
ORDER = ("fits", "fits_with_programming", "cannot_tell", "does_not_fit")


def get(client: FlaskClient, path: str, **query: str) -> Shown:
    response = client.get(path, query_string=query)
    assert response.status_code == 200, response.text
    found: Shown = response.get_json()
    return found


def candidates(client: FlaskClient, unit: str, role: str, **query: str) -> Shown:
    return get(client, f"/v1/units/{unit}/candidates", role=role, page_size="100", **query)


def destinations(client: FlaskClient, board: str, **query: str) -> Shown:
    return get(client, f"/v1/boards/{board}/destinations", **query)


def linked(client: FlaskClient, target: str) -> Iterator[TestResponse]:
    """A list's pages, by their links."""
    more: str | None = target
    while more:
        page = client.get(more)
        yield page
        link = page.headers.get("Link")
        more = link.removeprefix("<").removesuffix('>; rel="next"') if link else None


def in_short(of: Shown) -> Shown:
    """What a short answer and the whole one have in common."""
    deciding = sorted(
        (each["code"], each.get("role")) for each in of["reasons"] if each.get("deciding", True)
    )
    return {
        "outcome": of["outcome"],
        "summary": of["summary"],
        "needed": of["programming"]["needed"],
        "minutes": of["programming"].get("minutes"),
        "deciding": deciding,
    }


@pytest.mark.parametrize(
    ("unit", "role"),
    [
        (s.CUSTOMER_PLOVER_40, "main"),
        (s.CUSTOMER_PLOVER_60, "panel"),
        (s.CUSTOMER_CURLEW_EITHER, "panel"),
        (s.CUSTOMER_WREN_8, "lift"),
        (s.ISLES_CURLEW_12, "radio"),
        (s.RENEWED_WREN_8, "main"),
    ],
)
def test_each_candidate_is_answered_as_by_a_fit_check(client: FlaskClient, unit: str, role: str) -> None:
    found = candidates(client, unit, role)["items"]
    assert found
    for item in found:
        whole = get(client, "/v1/fit", board=item["serial"], unit=unit, role=role)
        assert in_short(item) == in_short(whole)
        assert item["clearance"] == whole["clearance"]
        assert item["outcome"] != "does_not_fit"


def test_the_stock_of_a_plover_40_stands_in_the_stated_order(client: FlaskClient) -> None:
    found = candidates(client, s.CUSTOMER_PLOVER_40, "main")["items"]
    order = ["this_unit", "this_model", "blank", "binds_nothing", "not_known"]
    keys = [
        (order.index(each["bound"]), not each["tested"], float(each["price"]["amount"]), each["serial"])
        for each in found
    ]
    assert keys == sorted(keys)
    assert found[0]["serial"] == s.USED_MAIN_40
    assert (found[0]["bound"], found[0]["tested"], found[0]["release"]) == ("this_model", True, "1.1.0")
    assert found[-1]["serial"] == s.USED_MAIN_UNKNOWN
    assert found[-1]["outcome"] == "cannot_tell"
    assert s.BLANK_MAIN in [each["serial"] for each in found]


def test_a_units_own_board_comes_first_and_that_of_another_in_service_not_at_all(client: FlaskClient) -> None:
    """The old main board of a Wren 8 holds its serial still: best for it, and a no for every other."""
    assert candidates(client, s.RENEWED_WREN_8, "main")["items"][0]["bound"] == "this_unit"
    other = candidates(client, s.CUSTOMER_WREN_8, "main")["items"]
    assert s.STILL_NEEDED_MAIN not in [each["serial"] for each in other]


@pytest.mark.parametrize(
    "board",
    [s.STOLEN_MAIN, s.EXPOSED_MAIN_40, s.SCRAPPED_MAIN, s.FOREIGN_MAIN_60, s.CONTRADICTORY_MAIN],
)
def test_what_cannot_be_taken_from_the_shelf_is_no_candidate(client: FlaskClient, board: str) -> None:
    for unit in (s.CUSTOMER_PLOVER_40, s.CUSTOMER_PLOVER_60):
        assert board not in [each["serial"] for each in candidates(client, unit, "main")["items"]]


def test_where_there_is_none_it_says_why(client: FlaskClient) -> None:
    beside = candidates(client, s.DISAGREEING_PLOVER_40, "panel")
    assert beside["items"] == []
    assert beside["summary"].startswith("No board works there as things are.")
    assert "With another main board" in beside["summary"]
    nowhere = candidates(client, s.CUSTOMER_WREN_4, "rain")
    assert "has no rain board" in nowhere["summary"]
    uncovered = candidates(client, s.RENTAL_RAIL_1, "main")
    assert "our papers do not cover it" in uncovered["summary"]


def test_the_board_that_a_machine_refuses_to_run_without_is_found_by_its_link(client: FlaskClient) -> None:
    mend = get(client, f"/v1/units/{s.DISAGREEING_PLOVER_40}")["if_it_refuses"]["mend"]
    found = client.get(mend["boards"][0]["candidates"]).get_json()
    assert found["role"] == "main"
    assert [each["bound"] for each in found["items"][:2]] == ["this_unit", "this_model"], "its own came out"
    assert found["items"][1]["serial"] == s.USED_MAIN_40


@pytest.mark.parametrize("size", [1, 3, 100])
def test_the_links_of_pages_lead_through_the_whole_list(client: FlaskClient, size: int) -> None:
    path = f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates"
    whole = [each["serial"] for each in candidates(client, s.CUSTOMER_PLOVER_40, "bumper")["items"]]
    assert len(whole) > 6
    seen: list[str] = []
    for page in linked(client, f"{path}?role=bumper&page_size={size}"):
        assert (page.headers.get("Link") is None) == (page.get_json()["next_cursor"] is None)
        seen += [each["serial"] for each in page.get_json()["items"]]
    assert seen == whole


def test_equal_places_are_told_apart(client: FlaskClient) -> None:
    assert candidates(client, s.CUSTOMER_PLOVER_40, "bumper")["place"] == "left"
    right = candidates(client, s.CUSTOMER_PLOVER_40, "bumper", place="right")
    assert {each["reasons"][0]["place"] for each in right["items"]} == {"right"}


@pytest.mark.parametrize("board", [s.USED_MAIN_60, s.BLANK_MAIN, s.EXPOSED_MAIN_40, s.UNMARKED_BUMPER])
@pytest.mark.parametrize("market", ["mainland", None])
def test_each_model_is_answered_as_by_a_fit_check(
    client: FlaskClient, board: str, market: str | None
) -> None:
    query = {"market": market} if market else {}
    found = destinations(client, board, **query)["models"]
    assert found
    for item in found:
        whole = get(client, "/v1/fit", board=board, model=item["model"], **query)
        assert in_short(item) == in_short(whole)
    assert [ORDER.index(each["outcome"]) for each in found] == sorted(
        ORDER.index(each["outcome"]) for each in found
    )


def test_the_models_are_those_that_the_part_reaches_by_replacement_too(client: FlaskClient) -> None:
    """PN-2200 takes the place of PN-2100 in three models, and is listed itself for one more."""
    models = {each["model"] for each in destinations(client, s.BLANK_PANEL_22)["models"]}
    assert models == {"wren-8", "curlew-12", "curlew-20", "curlew-20-a"}


def test_a_machine_that_waits_is_told_with_what_the_board_needs_there(client: FlaskClient) -> None:
    found = destinations(client, s.BLANK_MAIN)["units"]
    assert [each["unit"] for each in found] == [s.WAITING_PLOVER_40]
    whole = get(client, "/v1/fit", board=s.BLANK_MAIN, unit=s.WAITING_PLOVER_40)
    assert in_short(found[0]) == in_short(whole)
    needs = {each["code"] for each in found[0]["reasons"]}
    assert needs == {"takes_model_permanently", "must_be_introduced"}
    assert found[0]["programming"]["who"] == ["dealer"]
    refused = destinations(client, s.USED_MAIN_60)["units"]
    assert [(each["unit"], each["outcome"]) for each in refused] == [(s.WAITING_PLOVER_40, "does_not_fit")]
    assert destinations(client, s.BLANK_PANEL_24)["units"] == []


@pytest.mark.parametrize(
    ("board", "first"),
    [
        (s.STOLEN_MAIN, "Something is on record about it"),
        (s.SCRAPPED_MAIN, "It was scrapped."),
        (s.FAILED_RADIO, "It failed its test."),
        (s.EXPOSED_MAIN_40, "It was exposed to water"),
        (s.MAYBE_EXPOSED_POSITION, "It may have been exposed"),
        (s.FOREIGN_MAIN_60, "It is recorded as fitted in a machine"),
        (s.BLANK_MAIN, "This main board can go into a Wren 4"),
        (s.UNMARKED_BUMPER, "This bumper board can go into"),
    ],
)
def test_what_stands_in_the_way_of_using_it_at_all_is_said_first(
    client: FlaskClient, board: str, first: str
) -> None:
    found = destinations(client, board)
    assert found["summary"].startswith(first)
    held = board in (s.STOLEN_MAIN, s.LOCKED_PANEL_60)
    assert found["clearance"] == ("held" if held else "nothing_known")


def test_a_board_that_the_ledger_does_not_know_is_told_by_its_label(client: FlaskClient) -> None:
    found = destinations(client, s.board_serial("N24", 2024, 3, 77))
    assert found["recorded"] is False
    assert {each["model"] for each in found["models"]} == {"plover-40", "plover-60"}
    unknown = destinations(client, s.board_serial("Q99", 2024, 3, 77))
    assert (unknown["parts"], unknown["models"]) == ([], [])
    assert "printed on it" in unknown["summary"]


def test_an_unusable_board_goes_nowhere(client: FlaskClient) -> None:
    found = destinations(client, s.SCRAPPED_MAIN)
    assert {each["outcome"] for each in found["models"]} == {"does_not_fit"}
    assert "As it is, this main board can go into no machine." in found["summary"]


@pytest.mark.parametrize(
    ("path", "told"),
    [
        (
            f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates?role=main",
            [s.USED_MAIN_40, "tested", "EUR\u00a0149.00"],
        ),
        (f"/v1/units/{s.CUSTOMER_WREN_4}/candidates?role=rain", ["has no rain board"]),
        (f"/v1/boards/{s.BLANK_MAIN}/destinations", [s.WAITING_PLOVER_40, "Plover 60", "dealer"]),
        (f"/v1/boards/{s.STOLEN_MAIN}/destinations", ["ask before"]),
        (
            f"/v1/units/{s.DISAGREEING_PLOVER_40}",
            ["if it refuses to run", "where to look", "/candidates?role"],
        ),
    ],
)
def test_a_person_at_a_terminal_reads_the_same(client: FlaskClient, path: str, told: list[str]) -> None:
    response = client.get(path, headers={"Accept": "text/plain"})
    assert response.content_type == "text/plain; charset=utf-8"
    assert all(text in response.text for text in told), response.text


def test_who_would_program_is_told_only_of_what_fits(client: FlaskClient) -> None:
    path = f"/v1/units/{s.CUSTOMER_PLOVER_60}/candidates?role=main"
    text = client.get(path, headers={"Accept": "text/plain"}).text
    assert "fits with programming by a dealer" in text
    assert "cannot tell\n" in text


def test_an_answer_that_still_holds_is_not_sent_again(client: FlaskClient) -> None:
    for path in (
        f"/v1/units/{s.CUSTOMER_PLOVER_40}/candidates?role=main",
        f"/v1/boards/{s.BLANK_MAIN}/destinations",
    ):
        tag = client.get(path).headers["ETag"]
        assert client.get(path, headers={"If-None-Match": tag}).status_code == 304


def test_a_board_of_two_makes_comes_after_the_last_and_its_part_is_to_be_read(client: FlaskClient) -> None:
    first = get(client, f"/v1/units/{s.CUSTOMER_CURLEW_12}/candidates", role="bumper", page_size="1")
    assert first["next_cursor"]
    assert first["unidentified"] == []
    last = candidates(client, s.CUSTOMER_CURLEW_12, "bumper")
    (board,) = last["unidentified"]
    assert board["serial"] == s.UNMARKED_BUMPER
    assert len(board["parts"]) > 1
    assert {part["role"] for part in board["parts"]} == {"bumper"}
    whole = get(client, "/v1/fit", board=board["serial"], unit=s.CUSTOMER_CURLEW_12, role="bumper")
    assert in_short(board) == in_short(whole)
    assert s.UNMARKED_BUMPER not in [each["serial"] for each in last["items"]]
    assert candidates(client, s.CUSTOMER_CURLEW_12, "lift")["unidentified"] == []
