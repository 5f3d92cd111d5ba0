"""Questions of fit over HTTP: the demo's stories, asked in each of the three ways."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s

Shown = dict[str, Any]


def one_line(client: FlaskClient, **query: str) -> Shown:
    response = client.get("/v1/fit", query_string=query)
    assert response.status_code == 200, response.get_data(as_text=True)
    answer: Shown = response.get_json()
    return answer


def codes(answer: Shown, *, deciding: bool) -> set[str]:
    return {reason["code"] for reason in answer["reasons"] if reason["deciding"] is deciding}


def test_a_board_of_another_model_never_fits_though_the_number_is_the_same(client: FlaskClient) -> None:
    answer = one_line(client, board=s.USED_MAIN_60, unit=s.CUSTOMER_PLOVER_40)
    assert (answer["outcome"], answer["fit"]) == ("does_not_fit", "no")
    assert answer["programming"] == {"needed": "not_applicable", "steps": [], "minutes": None}
    assert codes(answer, deciding=True) == {"bound_to_other_model"}
    assert codes(answer, deciding=False) == {"boards_disagree"}
    assert answer["reasons"][0]["facts"] == {"bound_model": ["plover-60"], "unit_model": ["plover-40"]}
    assert answer["reasons"][0]["basis"] == "recorded"
    assert answer["ask"] is None
    assert "permanently" in answer["summary"]
    after = answer["capabilities"]["after"]
    assert {ability.get("most", 0) for ability in after.values()} == {0}
    assert all(ability.get("available", "no") == "no" for ability in after.values())


def test_a_blank_board_fits_after_programming_by_a_dealer(client: FlaskClient) -> None:
    answer = one_line(client, board=s.BLANK_MAIN, unit=s.CUSTOMER_PLOVER_40)
    assert (answer["outcome"], answer["programming"]["needed"]) == ("fits_with_programming", "needed")
    steps = answer["programming"]["steps"]
    entering = next(step for step in steps if step["step"] == "enter_serial")
    assert (entering["undoable"], entering["tool"], entering["who"], entering["role"]) == (
        False,
        True,
        "dealer",
        "main",
    )
    assert steps[0]["step"] == "read_out"
    assert steps[0]["old_board"]
    assert steps[-1]["step"] == "self_test"
    assert answer["programming"]["minutes"] == {
        edge: sum(step["minutes"][edge] for step in steps) for edge in ("least", "most")
    }
    cautions = {caution["code"] for caution in answer["cautions"]}
    assert {"battery_off_before_boards", "read_back_before_binding", "test_safety_before_return"} <= cautions


def test_an_unknown_history_is_asked_for_and_each_answer_has_its_outcome(client: FlaskClient) -> None:
    answer = one_line(client, board=s.USED_MAIN_UNKNOWN, unit=s.CUSTOMER_CURLEW_20)
    assert (answer["outcome"], answer["cause"], answer["fit"]) == ("cannot_tell", "worlds_differ", "unknown")
    assert answer["ask"]["fact"] == "main.binding"
    assert answer["ask"]["question"].endswith("?")
    outcomes = {value: group["outcome"] for group in answer["ask"]["answers"] for value in group["values"]}
    assert outcomes["plover-60"] == "does_not_fit"
    assert outcomes["curlew-20"] == "cannot_tell"
    # Of a used board of the right model it is still open whether its serial is that of a machine in service.
    told = one_line(
        client, board=s.USED_MAIN_UNKNOWN, unit=s.CUSTOMER_CURLEW_20, binding="bound", bound_model="curlew-20"
    )
    assert told["ask"]["fact"] == "main.holds"
    body = {
        "unit": {"serial": s.CUSTOMER_CURLEW_20},
        "boards": [
            {
                "serial": s.USED_MAIN_UNKNOWN,
                "read": {"bound_model": "curlew-20", "holds": s.CUSTOMER_CURLEW_20},
            }
        ],
    }
    read = client.post("/v1/fit-checks", json=body).get_json()
    assert (read["outcome"], read["ask"]) == ("fits_with_programming", None)


def test_a_family_that_is_not_covered_is_never_a_no(client: FlaskClient) -> None:
    answer = one_line(client, board=s.BLANK_MAIN, unit=s.RENTAL_RAIL_1)
    assert (answer["outcome"], answer["cause"]) == ("cannot_tell", "out_of_scope")


def test_a_serial_that_no_scheme_reads_says_which_character_to_read_again(client: FlaskClient) -> None:
    misread = s.CUSTOMER_PLOVER_40[:-1] + "0"
    answer = one_line(client, board=s.BLANK_MAIN, unit=misread)
    assert (answer["outcome"], answer["cause"]) == ("cannot_tell", "unknown_layout")
    assert "read" in answer["summary"]


@pytest.mark.parametrize("board", [s.STOLEN_MAIN, s.LOCKED_PANEL_60, s.RECALLED_LIFT])
def test_a_hold_is_told_beside_the_outcome_and_does_not_change_it(client: FlaskClient, board: str) -> None:
    answer = one_line(client, board=board, unit=s.CUSTOMER_PLOVER_60)
    assert answer["clearance"]["board"] == "held"
    assert answer["outcome"] != "cannot_tell"


def test_nothing_known_is_never_called_clean(client: FlaskClient) -> None:
    answer = one_line(client, board=s.BLANK_MAIN, unit=s.CUSTOMER_PLOVER_60)
    assert answer["clearance"] == {"board": "nothing_known", "unit": "nothing_known", "donor": "not_checked"}
    described = one_line(client, part="MN-4100", model="plover-60", binding="blank")
    assert described["clearance"] == {"board": "not_checked", "unit": "not_checked", "donor": "not_checked"}


def test_assumptions_are_listed_and_can_be_switched_off(client: FlaskClient) -> None:
    usual = one_line(client, board=s.USED_MAIN_40, unit=s.CUSTOMER_PLOVER_40)
    assert {"fact": "panel.binding", "value": "plover-40", "why": "as_made"} in usual["assumed"]
    nothing = one_line(client, board=s.USED_MAIN_40, unit=s.CUSTOMER_PLOVER_40, assume="nothing")
    assert nothing["assumed"] == []
    assert nothing["outcome"] == "cannot_tell"


def test_two_boards_moved_together_are_one_question(client: FlaskClient) -> None:
    body = {
        "unit": {"serial": s.CUSTOMER_CURLEW_12},
        "boards": [{"serial": s.MATCHED_MAIN_12}, {"serial": s.MATCHED_PANEL_12}],
    }
    answer = client.post("/v1/fit-checks", json=body).get_json()
    assert answer["fit"] == "yes"
    proposed = {board["role"]: board["serial"] for board in answer["boards"] if board["proposed"]}
    assert proposed == {"main": s.MATCHED_MAIN_12, "panel": s.MATCHED_PANEL_12}


SAME = [
    (
        {"board": s.USED_MAIN_60, "unit": s.CUSTOMER_PLOVER_40},
        {"serial": s.USED_MAIN_60},
        {"serial": s.CUSTOMER_PLOVER_40},
    ),
    (
        {
            "part": "MN-4100",
            "model": "plover-40",
            "binding": "bound",
            "bound_model": "plover-60",
            "market": "isles",
        },
        {"part": "MN-4100", "claimed": {"bound_model": "plover-60"}},
        {"model": "plover-40", "market": "isles"},
    ),
    (
        {"role": "bumper", "place": "left", "model": "wren-4", "made_on": "2024-05-31"},
        {"role": "bumper", "place": "left"},
        {"model": "wren-4", "made_on": "2024-05-31"},
    ),
]


@pytest.mark.parametrize(("query", "board", "unit"), SAME)
def test_the_three_ways_of_asking_have_one_answer(
    client: FlaskClient, query: dict[str, str], board: Shown, unit: Shown
) -> None:
    line = one_line(client, **query)
    body = {"unit": unit, "boards": [board]}
    document = client.post("/v1/fit-checks", json=body).get_json()
    batch = client.post("/v1/fit-checks/batch", json={"questions": [body]}).get_json()
    assert line == document == batch["answers"][0]["answer"]


def test_a_batch_answers_in_order_from_one_revision(client: FlaskClient) -> None:
    models = ["plover-40", "wren-4", "rail-1", "curlew-20-a"] * 20
    body = {"questions": [{"unit": {"model": model}, "boards": [{"part": "MN-4100"}]} for model in models]}
    found = client.post("/v1/fit-checks/batch", json=body).get_json()
    assert [entry["answer"]["unit"]["models"] for entry in found["answers"]] == [[model] for model in models]
    assert {entry["answer"]["catalogue_revision"] for entry in found["answers"]} == {
        found["catalogue_revision"]
    }


def test_the_whole_tree_of_questions_ends_in_outcomes(client: FlaskClient) -> None:
    body = {
        "unit": {"model": "plover-40"},
        "boards": [{"serial": s.USED_MAIN_UNKNOWN}],
        "questions": "all",
        "means": "bench",
    }
    answer = client.post("/v1/fit-checks", json=body).get_json()
    todo, leaves = [answer["ask"]], 0
    while todo:
        for group in todo.pop()["answers"]:
            if "then" in group:
                todo.append(group["then"])
            else:
                leaves += 1
    assert leaves > 2


def test_the_text_for_a_terminal_says_the_same_in_words(client: FlaskClient) -> None:
    query = {"board": s.USED_MAIN_60, "unit": s.CUSTOMER_PLOVER_40}
    text = client.get("/v1/fit", query_string=query, headers={"Accept": "text/plain"}).get_data(as_text=True)
    assert text.startswith("DOES NOT FIT\n")
    assert one_line(client, **query)["summary"] in text


def test_labels_are_read_as_people_write_them(client: FlaskClient) -> None:
    plain = one_line(client, board=s.USED_MAIN_60, unit=s.CUSTOMER_PLOVER_40)
    spaced = f" {s.CUSTOMER_PLOVER_40[:4].lower()} {s.CUSTOMER_PLOVER_40[4:8]}-{s.CUSTOMER_PLOVER_40[8:]}"
    assert one_line(client, board=s.USED_MAIN_60.lower(), unit=spaced) == plain
