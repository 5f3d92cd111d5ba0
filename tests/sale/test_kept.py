"""An answer of the till is kept as it was given: once, for its owner, years later."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Connection, select

from service.store.engine import reading, snapshot
from service.store.ledger import events_after
from service.store.sale_checks import kept_check
from service.store.tables import BOARDS, SALE_CHECKS
from service.store.verifying import verified
from service.usecases.caller import Scope
from tests.api.problem_shape import places, problem_of
from tests.sale.tills import BOARD, DONOR, UNIT, Till, other_till


def test_it_is_answered_with_its_address(till: Till) -> None:
    response = till.post("/v1/sale-checks", {"board": {"serial": BOARD}, "unit": {"serial": UNIT}})
    answer = response.get_json()
    assert response.status_code == 201
    assert response.headers["Location"] == f"/v1/sale-checks/{answer['id']}"
    assert answer["decision"] == "sell_with_conditions"
    assert answer["completable"]
    assert answer["fit"]["outcome"] == "fits_with_programming"
    assert answer["quote"]["to_pay"] == "440.54"


def test_years_later_it_is_exactly_the_first_answer(till: Till) -> None:
    first = till.check()
    till.publish('used_price: "149.00"', 'used_price: "99.00"')
    till.tell("exposed", board=BOARD, to="water")
    assert till.get(f"/v1/sale-checks/{first['id']}").get_json() == {**first, "completed": None}


def test_a_repeated_question_has_one_answer(till: Till) -> None:
    asked = {"board": {"serial": BOARD}, "unit": {"serial": UNIT}}
    first = till.post("/v1/sale-checks", asked, repeat="the-same-key")
    before = till.rows()
    again = till.post("/v1/sale-checks", asked, repeat="the-same-key")
    assert again.get_json() == first.get_json()
    assert again.headers["Idempotency-Replayed"] == "true"
    assert again.headers["Location"] == first.headers["Location"]
    assert till.rows() == before


def test_it_stays_in_the_language_that_it_was_given_in(till: Till) -> None:
    """Whoever fetches or repeats it reads the texts that were told, and is told their language."""
    asked = {"board": {"serial": BOARD}, "unit": {"serial": UNIT}}
    told = till.post("/v1/sale-checks", asked, repeat="in-german", **{"Accept-Language": "de-AT"})
    first = told.get_json()
    assert first["language"] == told.headers["Content-Language"] == "de"
    assert "Hauptplatine" in first["customer_text"]
    assert "Beleg" in " ".join(first["receipt"])
    again = till.post("/v1/sale-checks", asked, repeat="in-german")
    fetched = till.get(f"/v1/sale-checks/{first['id']}")
    for response in (again, fetched):
        assert response.headers["Content-Language"] == "de"
        assert response.get_json()["customer_text"] == first["customer_text"]


def test_the_ledger_tells_of_it(one_till: Till) -> None:
    answer = one_till.check()
    with reading(one_till.engine) as connection:
        last = events_after(connection, 0)[-1]
    assert last.kind == "sale_checked"
    assert last.data == {"board": BOARD, "check": answer["id"], "unit": UNIT}


@pytest.mark.parametrize("serial", ["4711-MISREAD", "TBM4124380002E"])
def test_asking_about_a_serial_that_nobody_recorded_makes_no_board_of_it(one_till: Till, serial: str) -> None:
    """It may be mistyped, or of a board that was never here. The check leaves its trace all the same."""
    answer = one_till.check(board={"serial": serial, "claimed": {"part": "MN-4100"}}, brought=True)
    written = answer["board"]["serial"]
    with reading(one_till.engine) as connection:
        last = events_after(connection, 0)[-1]
        kept = kept_check(connection, answer["id"])
        states = boards_in(connection)
    assert (last.kind, last.data["label"], last.subjects) == ("sale_checked", written, ())
    assert kept is not None
    assert (kept.board, kept.seq) == (written, last.seq)
    assert written not in states
    assert "board.record" in kept.read_set["absent"]
    with snapshot(one_till.engine) as connection:
        assert list(verified(connection)) == []


def boards_in(connection: Connection) -> set[str]:
    return set(connection.execute(select(BOARDS.c.serial)).scalars())


def test_what_it_was_decided_from_is_kept_with_it(till: Till) -> None:
    answer = till.check()
    with reading(till.engine) as connection:
        kept = kept_check(connection, answer["id"])
    assert kept is not None
    assert (kept.owner, kept.board, kept.unit) == ("till", BOARD, UNIT)
    assert kept.revision == answer["catalogue_revision"]
    assert kept.read_set["boards"] == {BOARD: 3}
    assert kept.read_set["units"] == {UNIT: 1, DONOR: 3}
    assert kept.read_set["absent"] == ["board.hold", "board.sold", "unit.hold", "donor.hold"]


def test_another_owner_does_not_find_it(one_till: Till) -> None:
    answer = one_till.check()
    other = other_till(one_till, Scope.SELL, owner="another")
    for response in (other.get(f"/v1/sale-checks/{answer['id']}"), other.complete(answer)):
        assert problem_of(response)["code"] == "unknown_sale_check"
    unknown = other.get("/v1/sale-checks/sc-nothing").get_json()
    assert {**unknown, "detail": ""} == {
        **other.get(f"/v1/sale-checks/{answer['id']}").get_json(),
        "detail": "",
    }


def test_who_administers_finds_it(one_till: Till) -> None:
    answer = one_till.check()
    office = other_till(one_till, Scope.SELL, Scope.ADMINISTER, owner="office")
    assert office.get(f"/v1/sale-checks/{answer['id']}").get_json()["id"] == answer["id"]


def test_a_key_that_does_not_sell_learns_nothing(one_till: Till) -> None:
    answer = one_till.check()
    asking = other_till(one_till, Scope.ASK, Scope.STOCK, Scope.RECORD, owner="till")
    for response in (
        asking.post("/v1/sale-checks", {"board": {"serial": BOARD}}),
        asking.get(f"/v1/sale-checks/{answer['id']}"),
        asking.complete(answer),
    ):
        assert problem_of(response)["code"] == "insufficient_scope"


def test_of_the_past_it_is_answered_and_not_sold_on(till: Till) -> None:
    now = till.check()["made_at"]
    till.tell("hold_placed", board=BOARD, hold="recalled")
    assert till.check()["decision"] == "do_not_sell"
    then = till.check(as_of=now)
    assert (then["decision"], then["as_of"], then["completable"]) == ("sell_with_conditions", now, False)
    problem = problem_of(till.complete(then))
    assert (problem["code"], problem["status"]) == ("not_for_sale", 409)
    assert "past" in problem["detail"]


def test_the_plain_text_has_decision_price_and_terms(one_till: Till) -> None:
    body = {"board": {"serial": BOARD}, "unit": {"serial": UNIT}}
    text = one_till.post("/v1/sale-checks", body, Accept="text/plain").text
    assert text.startswith("SELL WITH CONDITIONS\n- ")
    for phrase in (
        "440.54  to pay (EUR)",
        "bench work, at most 140 minutes",
        "Your statutory rights remain.",
    ):
        assert phrase in text


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({}, "#/board", "is missing"),
    ({"board": {}}, "#/board/serial", "is missing"),
    ({"board": {"serial": "TBM4122080117Y"}}, "#/board/serial", "read character 14 of the label again"),
    (
        {"board": {"serial": BOARD}, "unit": {"serial": "TMPL23140032X"}},
        "#/unit/serial",
        "of the plate again",
    ),
    ({"board": {"serial": BOARD, "role": "mane"}}, "#/board/role", "did you mean main"),
    ({"board": {"serial": BOARD, "role": "lamp"}}, "#/board/role", "not for the role"),
    (
        {"board": {"serial": BOARD, "claimed": {"part": "MN-1"}, "role": "main", "place": "left"}},
        "#/board/place",
        "one place",
    ),
    ({"board": {"serial": BOARD}, "unit": {"model": "plover-50"}}, "#/unit/model", "did you mean"),
    ({"board": {"serial": BOARD}, "market": "mainlnd"}, "#/market", "did you mean mainland"),
    ({"board": {"serial": BOARD}, "asked": ["guarantee"]}, "#/asked/0", "is not known"),
    ({"board": {"serial": BOARD}, "brought": "yes"}, "#/brought", "true or false"),
    (
        {"board": {"serial": BOARD}, "unit": {"accessories": {"pack": 1}}},
        "#/unit/accessories/pack",
        "battery_pack",
    ),
    ({"board": {"serial": BOARD}, "as_of": "2999-01-01T00:00:00Z"}, "#/as_of", "in the future"),
    (
        {"board": {"serial": BOARD}, "as_of": "2001-01-01T00:00:00Z"},
        "#/as_of",
        "no catalogue was published then",
    ),
]


@pytest.mark.parametrize(("sent", "at", "mend"), BAD, ids=[f"{at} {mend}" for _, at, mend in BAD])
def test_a_bad_question_is_refused_and_nothing_is_kept(
    shared_till: Till, sent: Any, at: str, mend: str
) -> None:
    before = shared_till.rows()
    problem = problem_of(shared_till.post("/v1/sale-checks", sent))
    assert (problem["status"], problem["code"]) == (422, "invalid_request"), problem
    assert at in places(problem), problem
    assert mend in str(problem["errors"]), problem
    assert shared_till.rows() == before


def test_a_key_is_free_again_after_a_refusal(one_till: Till) -> None:
    asked = {"board": {"serial": BOARD}, "market": "nowhere"}
    assert one_till.post("/v1/sale-checks", asked, repeat="again-and-again").status_code == 422
    assert (
        one_till.post(
            "/v1/sale-checks", {**asked, "market": "mainland"}, repeat="again-and-again"
        ).status_code
        == 201
    )


def test_ids_are_not_guessed_from_each_other(one_till: Till) -> None:
    one_till.check()
    one_till.check()
    with reading(one_till.engine) as connection:
        ids = list(connection.execute(select(SALE_CHECKS.c.id)).scalars())
    assert len(set(ids)) == 2
    assert all(len(each) == 27 for each in ids)
