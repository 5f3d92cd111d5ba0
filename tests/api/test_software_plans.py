"""Software plans over HTTP: the order of loads, what is open, why there is none, and what is refused."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.demo import serials as s
from service.usecases.caller import Scope
from tests.api.bad import Bad, cases, post
from tests.support.keys import a_key, bearer, keyed_app

PATH = "/v1/software-plans"
FIRST = [
    {"role": "main", "release": "1.0.0"},
    {"role": "panel", "release": "1.0.0"},
    {"role": "position", "release": "1.2.0"},
]
"""The oldest releases on a machine of which all is told."""

Shown = dict[str, Any]


def ask(client: FlaskClient, unit: Shown, headers: dict[str, str] | None = None, **more: Any) -> Shown:
    response = client.post(PATH, json={"unit": unit, **more}, headers=headers)
    assert response.status_code == 200, response.get_data(as_text=True)
    answer: Shown = response.get_json()
    return answer


def loaded(steps: list[Shown]) -> list[tuple[str, str | None, str]]:
    return [(step["role"], step.get("over"), step["release"]) for step in steps]


def carried(target: list[Shown]) -> dict[str, str]:
    return {each["role"]: each["release"] for each in target}


def test_the_shortest_sequence_takes_the_steps_in_between(client: FlaskClient) -> None:
    """The catalogue: main 2.0.0 needs the panel at 1.4.0 or later, and both reach 2.0.0 over a release."""
    answer = ask(client, {"serial": s.CUSTOMER_PLOVER_40}, boards=FIRST)
    assert answer["outcome"] == "planned"
    assert loaded(answer["steps"]) == [
        ("main", "1.0.0", "1.1.0"),
        ("panel", "1.0.0", "1.4.0"),
        ("main", "1.1.0", "2.0.0"),
        ("panel", "1.4.0", "2.0.0"),
    ]
    assert carried(answer["target"]) == {"main": "2.0.0", "panel": "2.0.0", "position": "1.2.0"}
    assert (answer["cases"], answer["ask"], answer["reasons"]) == ([], None, [])
    assert answer["minutes"] == {"least": 60, "most": 160}
    assert answer["who"] == ["dealer"]


def test_what_is_recorded_need_not_be_said(client: FlaskClient) -> None:
    answer = ask(client, {"serial": s.FULLY_RECORDED_PLOVER_60})
    assert loaded(answer["steps"]) == [("main", "1.1.0", "2.0.0"), ("panel", "1.4.0", "2.0.0")]
    assert answer["unit"] == {"serial": s.FULLY_RECORDED_PLOVER_60, "recorded": True, "models": ["plover-60"]}


def test_what_is_said_goes_before_what_is_recorded(client: FlaskClient) -> None:
    newest = [{"role": role, "release": "2.0.0"} for role in ("main", "panel")]
    answer = ask(client, {"serial": s.FULLY_RECORDED_PLOVER_60}, boards=newest)
    assert (answer["outcome"], answer["steps"]) == ("nothing_to_do", [])


def test_each_case_of_what_is_not_known_has_its_plan(client: FlaskClient) -> None:
    answer = ask(client, {"model": "wren-8"}, boards=[{"role": "panel", "release": "1.0.0"}])
    assert answer["outcome"] == "planned"
    assert answer["steps"] == []
    found = {case["when"][0]["main.release"][0]: loaded(case["steps"]) for case in answer["cases"]}
    assert set(found) == {"1.0.0", "1.1.0", "2.0.0"}
    assert [len(found[release]) for release in ("1.0.0", "1.1.0", "2.0.0")] == [4, 3, 2]
    assert answer["ask"]["fact"] == "main.release"
    assert answer["ask"]["question"] == "Which software release is on the main board?"
    assert answer["minutes"] == {"least": 2 * 10, "most": 4 * 25}


def test_the_least_change_leaves_what_goes_together(client: FlaskClient) -> None:
    answer = ask(client, {"model": "wren-8"}, boards=FIRST[:2], goal="least_change")
    assert (answer["outcome"], answer["steps"]) == ("nothing_to_do", [])


def test_a_set_by_name_is_reached_and_no_other(client: FlaskClient) -> None:
    answer = ask(client, {"model": "wren-8"}, boards=FIRST[:2], wanted={"panel": "1.4.0", "main": "1.1.0"})
    assert carried(answer["target"]) == {"main": "1.1.0", "panel": "1.4.0"}
    assert len(answer["steps"]) == 2


def test_a_set_that_cannot_be_is_ruled_out_by_facts_each_of_which_counts(client: FlaskClient) -> None:
    answer = ask(client, {"model": "wren-8"}, boards=FIRST[:2], wanted={"panel": "1.0.0", "main": "2.0.0"})
    assert (answer["outcome"], answer["steps"], answer["target"]) == ("no_plan", [], [])
    assert [reason["facts"] for reason in answer["reasons"]] == [
        {"role": "main", "range": "=2.0.0"},
        {"role": "main", "release": "2.0.0", "other": "panel", "range": ">=1.4.0"},
        {"role": "panel", "range": "=1.0.0"},
    ]
    assert "needs the panel board to be at >=1.4.0" in answer["summary"]


def test_a_board_that_answers_nothing_is_loaded_with_what_needs_nothing_beneath_it(
    client: FlaskClient,
) -> None:
    boards = [{"role": "main", "silent": True}, {"role": "panel", "release": "1.4.0"}]
    answer = ask(client, {"model": "wren-8"}, boards=boards)
    assert loaded(answer["steps"]) == [
        ("main", None, "1.1.0"),
        ("main", "1.1.0", "2.0.0"),
        ("panel", "1.4.0", "2.0.0"),
    ]


def test_a_release_that_the_papers_do_not_list_is_loaded_over(client: FlaskClient) -> None:
    boards = [{"role": "main", "release": "1.5.0-rc.1"}, {"role": "panel", "release": "2.0.0"}]
    answer = ask(client, {"model": "wren-8"}, boards=boards)
    assert loaded(answer["steps"]) == [("main", "1.5.0-rc.1", "1.1.0"), ("main", "1.1.0", "2.0.0")]


def test_every_load_begins_where_the_one_before_ended(client: FlaskClient) -> None:
    answer = ask(client, {})
    for case in answer["cases"]:
        for role in case["boards"]:
            steps = [step for step in case["steps"] if step["role"] == role]
            assert all(one["release"] == other["over"] for one, other in pairwise(steps))
            if steps:
                assert carried(case["target"])[role] == steps[-1]["release"]
    assert len(answer["cases"]) >= 9


def test_a_machine_that_the_papers_do_not_cover(client: FlaskClient) -> None:
    answer = ask(client, {"model": "rail-1"})
    assert (answer["outcome"], answer["cause"]) == ("cannot_tell", "out_of_scope")
    assert (answer["minutes"], answer["who"], answer["bound_exceeded"]) == (None, [], False)


def test_a_customer_is_told_who_and_how_long_and_no_loads(client: FlaskClient) -> None:
    answer = ask(client, {"model": "wren-8"}, boards=FIRST[:2], means="customer")
    assert (answer["steps"], answer["who"], answer["minutes"]["most"]) == ([], ["dealer"], 100)
    assert "Load " not in answer["summary"]


def test_the_public_reads_no_ledger_and_is_told_no_loads(demo_engine: Engine) -> None:
    headers = bearer(a_key(demo_engine, Scope.ASK, public=True))
    client = keyed_app(demo_engine).test_client()
    answer = ask(client, {"serial": s.FULLY_RECORDED_PLOVER_60}, headers, means="bench")
    assert answer["unit"]["recorded"] is False
    assert answer["steps"] == []
    assert all(case["steps"] == [] for case in answer["cases"])
    assert len(answer["cases"]) > 1, "nothing recorded, so all of it is open"


def test_the_text_tells_the_loads_in_order(client: FlaskClient) -> None:
    response = client.post(
        PATH,
        json={"unit": {"serial": s.CUSTOMER_PLOVER_40}, "boards": FIRST},
        headers={"Accept": "text/plain"},
    )
    lines = response.text.splitlines()
    assert "1. Load 1.1.0 into the main board, over 1.0.0." in lines
    assert "4. Load 2.0.0 into the panel board, over 1.4.0." in lines


def test_the_same_question_has_the_same_answer(client: FlaskClient) -> None:
    assert ask(client, {"model": "plover-40"}) == ask(client, {"model": "plover-40"})


def bad(at: str, mend: str, **body: Any) -> Bad:
    return post({"unit": {"model": "wren-8"}, **body}, at, mend, path=PATH)


@pytest.mark.parametrize(
    "each",
    cases(
        [
            post({}, "#/unit", "is missing", path=PATH),
            post({"unit": {"model": "wren-9"}}, "#/unit/model", "did you mean wren-8", path=PATH),
            post({"unit": {"boards": []}}, "#/unit/boards", "not a known name here", path=PATH),
            bad("#/goal", "is not known", goal="oldest"),
            bad("#/wanted/main", "did you mean 2.0.0", wanted={"main": "3.0.0"}),
            bad("#/wanted/man", "did you mean main", wanted={"man": "2.0.0"}),
            bad("#/wanted/lift", "no releases that are versions", wanted={"lift": "2.0.0"}),
            bad("#/wanted/position", "no board", wanted={"position": "1.2.0"}),
            bad("#/wanted/main", "text in quotes", wanted={"main": 2}),
            bad("#/boards/0/role", "is missing", boards=[{"release": "1.0.0"}]),
            bad("#/boards/0/role", "did you mean main", boards=[{"role": "mian", "release": "1.0.0"}]),
            bad("#/boards/0/role", "did you mean main", boards=[{"role": "mian"}]),
            bad(
                "#/boards/1/release",
                "as in 1.4.0",
                boards=[{"role": "panel"}, {"role": "main", "release": "1.1"}],
            ),
            bad("#/boards/0/release", "leave", boards=[{"role": "main", "release": "1.1.0", "silent": True}]),
            bad(
                "#/boards/0/part",
                "an empty place",
                boards=[{"role": "main", "empty": True, "part": "MN-4100"}],
            ),
            bad("#/boards/0/place", "no place", boards=[{"role": "main", "place": "left"}]),
            bad("#/boards/0", "part", boards=[{"role": "main", "part": "MN-41000"}]),
            bad("#/boards", "0 to 16", boards=[{"role": "main"}] * 17),
        ]
    ),
)
def test_bad_questions_are_told_with_their_mend(client: FlaskClient, each: Bad) -> None:
    each.check(client)
