"""A sale goes through once, on what is true by then, for the price that was told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from sqlalchemy import Engine

from service.demo import serials as s
from service.store.engine import reading
from service.store.gather import gather
from service.store.ledger import events_after
from tests.api.problem_shape import problem_of
from tests.sale.tills import BOARD, DONOR, PLACED, SETTINGS, UNIT, Till, opened


def test_the_receipt_is_what_was_told(till: Till) -> None:
    check = till.check()
    response = till.complete(check, customer="customer-4711")
    receipt = response.get_json()
    assert response.status_code == 201
    assert {name: receipt[name] for name in ("quote", "receipt", "returns", "board")} == {
        name: check[name] for name in ("quote", "receipt", "returns", "board")
    }
    with reading(till.engine) as connection:
        last = events_after(connection, 0)[-1]
        record = gather(connection, [BOARD], []).boards[BOARD]
    assert (last.kind, last.seq) == ("sold", receipt["completed"]["seq"])
    assert last.data == {"board": BOARD, "check": check["id"], "unit": UNIT, "customer": "customer-4711"}
    assert (record.sold, record.in_custody) == (True, False)
    kept = till.get(f"/v1/sale-checks/{check['id']}").get_json()
    assert kept == {**check, "completed": receipt["completed"]}


def test_a_repeated_completion_gives_the_first_receipt(till: Till) -> None:
    check = till.check()
    path, body = (
        f"/v1/sale-checks/{check['id']}/completion",
        {"accepted": [c["code"] for c in check["conditions"]]},
    )
    first = till.post(path, body, repeat="sell-it-once")
    again = till.post(path, body, repeat="sell-it-once")
    assert again.get_json() == first.get_json()
    assert again.headers["Idempotency-Replayed"] == "true"


def test_every_condition_has_to_be_accepted(one_till: Till) -> None:
    check = one_till.check()
    codes = [each["code"] for each in check["conditions"]]
    before = one_till.rows()
    problem = problem_of(one_till.complete(check, accepted=codes[:1]))
    assert problem["status"] == 422
    assert [each["detail"].split()[1].rstrip(":") for each in problem["errors"]] == sorted(codes[1:])
    problem = problem_of(one_till.complete(check, accepted=[*codes, "nothing_of_this"]))
    assert [each["pointer"] for each in problem["errors"]] == [f"#/accepted/{len(codes)}"]
    assert one_till.rows() == before


HAPPENINGS: dict[str, tuple[Callable[[Till], Any], str, str]] = {
    "a hold on the board": (
        lambda t: t.tell("hold_placed", board=BOARD, hold="recalled"),
        "decision",
        "do_not_sell",
    ),
    "a hold on the machine": (
        lambda t: t.tell("hold_placed", unit=UNIT, hold="reported_stolen"),
        "decision",
        "do_not_sell",
    ),
    "a hold on the donor": (
        lambda t: t.tell("hold_placed", unit=DONOR, hold="reported_stolen"),
        "decision",
        "do_not_sell",
    ),
    "water": (lambda t: t.tell("exposed", board=BOARD, to="water"), "decision", "do_not_sell"),
    "perhaps lightning": (
        lambda t: t.tell("exposed", board=BOARD, to="lightning", certain=False),
        "decision",
        "do_not_sell",
    ),
    "a test it failed": (lambda t: t.tell("tested", board=BOARD, passed=False), "decision", "do_not_sell"),
    "scrapped": (lambda t: t.tell("scrapped", board=BOARD), "decision", "do_not_sell"),
    "fitted": (
        lambda t: t.tell("fitted", board=BOARD, unit=UNIT, model="plover-40", **PLACED),
        "decision",
        "ask_first",
    ),
    "another reading": (
        lambda t: t.tell("read_out", board=BOARD, binding="bound", bound_model="plover-60"),
        "decision",
        "ask_first",
    ),
    "its serial is in service again": (
        lambda t: t.tell("read_out", board=BOARD, holds=UNIT),
        "other_serial",
        "",
    ),
    "another main board in the machine": (
        lambda t: t.tell(
            "read_out",
            board="TBN2421280044G",
            unit=UNIT,
            role="panel",
            policy="follows",
            binding="bound",
            bound_model="plover-60",
        ),
        "decision",
        "do_not_sell",
    ),
    "its family is covered no more": (
        lambda t: t.publish(
            "    name: Plover\n    another", "    name: Plover\n    covered: false\n    another"
        ),
        "fit_not_assured",
        "cause: out_of_scope",
    ),
    "a campaign": (
        lambda t: t.publish(
            "campaigns:\n",
            "campaigns:\n  mains:\n    name: main boards\n    parts: [MN-4100]\n    text: Ask.\n",
        ),
        "decision",
        "ask_first",
    ),
    "a longer warranty": (
        lambda t: t.publish("warranty_months: 30", "warranty_months: 300"),
        "decision",
        "ask_first",
    ),
    "who programs": (
        lambda t: t.publish(
            "- {step: enter_serial, who: dealer, minutes: [5, 10], tool: true}",
            "- {step: enter_serial, who: maker, minutes: [5, 10], tool: true}",
        ),
        "programming_needed",
        "who: dealer, maker",
    ),
}


@pytest.mark.parametrize(("happens", "what", "now"), HAPPENINGS.values(), ids=HAPPENINGS.keys())
def test_what_happened_meanwhile_stops_it(
    one_till: Till, happens: Callable[[Till], Any], what: str, now: str
) -> None:
    check = one_till.check()
    happens(one_till)
    before = one_till.rows()
    problem = problem_of(one_till.complete(check))
    assert (problem["status"], problem["code"]) == (409, "check_outdated"), problem
    changed = {each["what"]: each for each in problem["changed"]}
    assert changed[what].get("now", "") == now, problem["changed"]
    assert problem["decision"] == one_till.check()["decision"]
    assert what in problem["detail"]
    assert one_till.rows()[0] == before[0] + 1, "nothing but the new check was recorded"


@pytest.mark.parametrize("kind", ["sale_checked", "tested"])
def test_what_changes_nothing_of_the_answer_does_not_stop_it(one_till: Till, kind: str) -> None:
    check = one_till.check()
    one_till.tell(kind, board=BOARD, **({"check": "sc-x"} if kind == "sale_checked" else {"passed": True}))
    one_till.publish("maker: Tillmoor", "maker: Tillmoor Works")
    assert one_till.complete(check).status_code == 201


def test_a_told_price_is_honoured(one_till: Till) -> None:
    check = one_till.check()
    one_till.publish('used_price: "149.00"', 'used_price: "999.00"')
    assert one_till.check()["quote"]["to_pay"] != check["quote"]["to_pay"]
    assert one_till.complete(check).get_json()["quote"] == check["quote"]


def test_another_till_was_first(till: Till) -> None:
    one, other = till.check(), till.check()
    assert till.complete(one).status_code == 201
    problem = problem_of(till.complete(other))
    assert (problem["status"], problem["code"]) == (409, "sold_meanwhile")
    assert "offer another" in problem["detail"]
    assert "GET it" in problem_of(till.complete(one))["detail"]


def test_a_board_that_came_back_is_sold_on_a_new_check_only(one_till: Till) -> None:
    check = one_till.check()
    one_till.complete(check)
    one_till.tell("returned", board=BOARD)
    one_till.tell("read_out", board=BOARD, holds=DONOR)
    one_till.tell("tested", board=BOARD, passed=True)
    assert problem_of(one_till.complete(check))["code"] == "sold_meanwhile"
    assert one_till.complete(one_till.check()).status_code == 201


def test_nothing_is_sold_on_an_answer_not_to_sell(one_till: Till) -> None:
    refused = one_till.check(unit={"model": "plover-60"}, market="mainland")
    brought = one_till.check(board={"serial": s.board_serial("M41", 2019, 9, 77)}, brought=True)
    for check in (refused, brought):
        assert not check["completable"]
        problem = problem_of(one_till.complete(check))
        assert (problem["status"], problem["code"]) == (409, "not_for_sale"), problem


def test_a_sale_that_was_withdrawn_can_be_made_again(one_till: Till) -> None:
    check = one_till.check()
    seq = one_till.complete(check).get_json()["completed"]["seq"]
    one_till.tell("corrected", withdraws=seq, reason="the customer went away")
    assert one_till.get(f"/v1/sale-checks/{check['id']}").get_json()["completed"] is None
    assert one_till.complete(check).status_code == 201


def test_a_till_that_holds_an_older_catalogue_goes_by_the_one_in_force(sqlite_engine: Engine) -> None:
    with opened(sqlite_engine, replace(SETTINGS, catalogue_check_seconds=3600)) as till:
        check = till.check()
        till.publish("warranty_months: 30", "warranty_months: 300")
        problem = problem_of(till.complete(check))
        assert (problem["code"], problem["decision"]) == ("check_outdated", "ask_first")
        newer = till.check()
        assert newer["decision"] == "ask_first"
        assert newer["catalogue_revision"] != check["catalogue_revision"]
