"""Can it do more, what would it take, is it worth it: over the demo, by document and by one flat line."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import ROUND_CEILING, Decimal
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine, event

from service.api.calling import EXTENSION
from service.api.schemas.upgrades import UpgradeAnswer
from service.demo import serials as s
from service.store.engine import open_engine
from service.usecases.caller import Scope
from tests.api.bad import Bad, cases, get, post
from tests.support.keys import a_key, bearer, keyed_app

PLANS = "/v1/upgrade-plans"
SECOND_PACK = {"unit": {"model": "plover-60", "market": "mainland"}, "wanted": {"battery_packs": 2}}
MAPPING = {"unit": {"model": "curlew-12", "market": "mainland"}, "wanted": {"satellite_mapping": 1}}
LINK = {"unit": {"serial": s.CUSTOMER_CURLEW_20}, "wanted": {"short_range_link": 1}}
ANY_MACHINE = {"unit": {}, "wanted": {"battery_packs": 2}}

Json = dict[str, Any]


def asked(client: FlaskClient, body: Json, headers: dict[str, str] | None = None) -> Json:
    answer = client.post(PLANS, json=body, headers=headers)
    assert answer.status_code == 200, answer.text
    found: Json = answer.get_json()
    return found


def flat(client: FlaskClient, target: str, headers: dict[str, str] | None = None) -> Json:
    answer = client.get(target, headers=headers)
    assert answer.status_code == 200, answer.text
    found: Json = answer.get_json()
    return found


def plans(answer: Json) -> Iterator[Json]:
    for case in answer["cases"]:
        yield from case["plans"]


OUTCOMES = [
    (SECOND_PACK, "possible", {"accessory_only"}),
    (LINK, "possible", {"software_only"}),
    (
        {"unit": {"serial": s.DISAGREEING_PLOVER_40}, "wanted": {"satellite_mapping": 1}},
        "possible",
        {"other_boards"},
    ),
    (MAPPING, "possible", {"another_model"}),
    ({**MAPPING, "from_stock": False}, "possible_not_worth_it", {"another_model"}),
    ({"unit": {"serial": s.TWO_PACK_PLOVER_60}, "wanted": {"battery_packs": 2}}, "already", set()),
    ({"unit": {"serial": s.CUSTOMER_PLOVER_40}, "wanted": {"battery_packs": 2}}, "not_possible", set()),
    (ANY_MACHINE, "cannot_tell", {"accessory_only"}),
]


@pytest.mark.parametrize(("body", "outcome", "approaches"), OUTCOMES)
def test_outcomes_with_their_ways(
    client: FlaskClient, body: Json, outcome: str, approaches: set[str]
) -> None:
    answer = asked(client, body)
    assert not UpgradeAnswer().validate(answer)
    assert answer["outcome"] == outcome
    assert {each["approach"] for each in plans(answer)} == approaches
    assert (answer["costs"] is None) == (not approaches)
    assert [bool(case["reasons"]) for case in answer["cases"]] == [
        case["outcome"] == "not_possible" for case in answer["cases"]
    ]


@pytest.mark.parametrize(
    ("target", "outcome"),
    [
        (f"/v1/upgrades?unit={s.CUSTOMER_PLOVER_60}&want=battery_packs&amount=2", "possible"),
        (f"/v1/upgrades?unit={s.CUSTOMER_PLOVER_60}&want=work_lamp", "already"),
        ("/v1/upgrades?model=wren-8&want=work_lamp", "not_possible"),
        ("/v1/upgrades?model=curlew-12&want=satellite_mapping", "possible"),
    ],
)
def test_one_flat_line_is_answered_as_the_document_is(client: FlaskClient, target: str, outcome: str) -> None:
    answer = flat(client, target)
    assert answer["outcome"] == outcome
    sent = dict(pair.split("=") for pair in target.partition("?")[2].split("&"))
    unit = {"serial": sent["unit"]} if "unit" in sent else {"model": sent["model"]}
    same = asked(client, {"unit": unit, "wanted": {sent["want"]: int(sent.get("amount", 1))}})
    assert answer == same


def test_a_conversion_says_first_what_money_cannot_buy(client: FlaskClient) -> None:
    answer = asked(client, {**MAPPING, "from_stock": False})
    told = ["hardly worth it", "The maker has to issue a serial", "A dealer has to", "It costs", "A new"]
    places = [answer["summary"].find(each) for each in told]
    assert -1 not in places
    assert places == sorted(places), "before what it takes and what it costs"
    worth = answer["cases"][0]["worth"]
    assert worth["worth_it"] is False
    assert Decimal(worth["cost"]) > Decimal(worth["share"]) * Decimal(worth["instead"])
    for plan in plans(answer):
        assert [need["code"] for need in plan["needs_first"]] == ["maker_issues_serial", "dealer_programs"]
        assert "approval_may_end" in {each["code"] for each in plan["cautions"]}


def test_new_parts_only_where_stock_is_not_to_be_used(client: FlaskClient) -> None:
    """With the same wish, the stock makes it cheaper, and no plan without it names a board."""
    from_stock, new = asked(client, MAPPING), asked(client, {**MAPPING, "from_stock": False})
    assert any("serial" in each for plan in plans(from_stock) for each in plan["changes"])
    assert not any("serial" in each for plan in plans(new) for each in plan["changes"])
    assert Decimal(from_stock["costs"]["most"]) < Decimal(new["costs"]["least"])


def test_the_boards_that_came_out_of_a_machine_go_back_without_programming(client: FlaskClient) -> None:
    """Main and panel board were the last to be introduced to each other in it; another pair would not do."""
    answer = asked(client, {"unit": {"serial": s.DONOR_CURLEW_12}, "wanted": {"work_lamp": 1}})
    plan = next(plans(answer))
    put_in = {each["role"]: each.get("serial") for each in plan["changes"]}
    assert (put_in["main"], put_in["panel"]) == (s.MATCHED_MAIN_12, s.MATCHED_PANEL_12)
    assert not {"introduce", "enter_serial", "assign"} & {each["step"] for each in plan["steps"]}


@pytest.mark.parametrize("body", [SECOND_PACK, LINK, MAPPING, ANY_MACHINE])
def test_a_total_is_the_sum_of_its_lines(client: FlaskClient, body: Json) -> None:
    quotes = [plan["quote"] for plan in plans(asked(client, body))]
    assert quotes
    for quote in quotes:
        assert sum(Decimal(line["amount"]) for line in quote["lines"]) == Decimal(quote["total"])
        assert sum(Decimal(line["tax"]) for line in quote["lines"]) == Decimal(quote["tax"]["amount"])
        tax = Decimal(0) if quote["tax"]["prices"] == "included" else Decimal(quote["tax"]["amount"])
        assert Decimal(quote["to_pay"]) == Decimal(quote["total"]) + tax


@pytest.mark.parametrize(
    ("budget", "over"), [("372.46", True), ("372.47", False), ("500", False), ("0", True)]
)
def test_a_budget_is_passed_by_a_cent_more(client: FlaskClient, budget: str, over: bool) -> None:
    answer = asked(client, {**SECOND_PACK, "budget": budget})
    assert [plan["over_budget"] for plan in plans(answer)] == [over]
    assert answer["outcome"] == "possible"


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ({**SECOND_PACK, "budget": "300.00"}, "That is more than the EUR\u00a0300.00"),
        ({**SECOND_PACK, "budget": "400.00"}, ""),
        (
            {"unit": {"model": "plover-60"}, "wanted": {"battery_packs": 2}, "budget": "350"},
            "That may be more",
        ),
    ],
)
def test_a_customer_hears_that_it_is_more_than_may_be_spent(
    client: FlaskClient, body: Json, said: str
) -> None:
    """319.00 on the isles, 372.47 on the mainland."""
    summary = asked(client, body)["summary"]
    assert said in summary
    assert bool(said) == ("may be spent" in summary)


def test_what_only_a_dealer_may_do_is_not_for_the_owner(client: FlaskClient) -> None:
    answer = asked(client, {**LINK, "done_by": "owner"})
    assert answer["outcome"] == "not_possible"
    reasons = {each["code"]: each["text"] for each in answer["cases"][0]["reasons"]}
    assert reasons["dealer_works"] == "It takes work that a dealer has to do."
    assert asked(client, {**LINK, "done_by": "dealer"})["outcome"] == "possible"


def test_what_can_do_less_is_no_trading_up(client: FlaskClient) -> None:
    """Both a Curlew 20 and a Plover 60 map by satellite; a Plover 40 mows what no Curlew may."""
    body = {"unit": {"serial": s.DISAGREEING_PLOVER_40}, "wanted": {"satellite_mapping": 1}}
    (case,) = asked(client, body)["cases"]
    assert [each["model"] for each in case["trade_ups"]] == ["plover-60"]


@pytest.mark.parametrize(
    ("unit", "costs"),
    [
        ({"model": "plover-40"}, "EUR\xa04,300.00 to EUR\xa05,117.00"),
        ({"serial": s.CUSTOMER_PLOVER_40}, "EUR\xa05,117.00"),
    ],
)
def test_trading_up_is_never_told_cheaper_than_it_is(
    client: FlaskClient, unit: dict[str, str], costs: str
) -> None:
    """5,950 less 1,650: tax of 19% comes on top in one market, in the other one it is in the prices."""
    answer = asked(client, {"unit": unit, "wanted": {"work_lamp": 1}})
    ((up,),) = [case["trade_ups"] for case in answer["cases"]]
    assert f" costs {costs} with your machine" in up["text"]
    assert f" costs {costs} with your machine" in answer["summary"]
    assert up["to_pay"] == "5117.00"


def test_a_page_says_what_a_new_machine_costs_once(client: FlaskClient) -> None:
    target = f"/v1/upgrades?unit={s.CUSTOMER_PLOVER_40}&want=work_lamp"
    page = client.get(target, headers={"Accept": "text/plain"}).text
    assert page.count("A new Plover 60") == 1


def test_a_machine_that_is_not_in_order_takes_more_than_the_accessory(client: FlaskClient) -> None:
    """Programming its main board broke off: whatever is bought, that has to be done too."""
    body = {"unit": {"serial": s.BROKEN_OFF_PLOVER_60}, "wanted": {"battery_packs": 2}}
    for plan in plans(asked(client, body)):
        assert {"introduce", "fit_accessory"} <= {step["step"] for step in plan["steps"]}
        assert "and nothing else" not in plan["text"]
        assert "do not work together yet" in plan["text"]


def test_each_case_says_what_comes_of_it(client: FlaskClient) -> None:
    answer = asked(client, {"unit": {}, "wanted": {"work_lamp": 1}})
    said = {case["outcome"]: case["summary"] for case in answer["cases"]}
    assert said["already"] == "It can do that already."
    assert "no part that is sold changes that" in said["not_possible"]


def test_worth_is_a_sum_that_anybody_can_do_again(client: FlaskClient) -> None:
    """1,214.30 of 2,100.00 is 57.8%, and 60% is the limit: tax, the same on both, is left out."""
    (case,) = asked(client, MAPPING)["cases"][:1]
    worth = case["worth"]
    percent = Decimal(worth["cost"]) / Decimal(worth["instead"]) * 100
    assert f"{percent.quantize(Decimal('0.1'), ROUND_CEILING)}% of what a new Curlew 20 A" in worth["text"]
    assert worth["worth_it"] == (percent <= Decimal(worth["share"]) * 100)
    assert case["trade_ups"][0]["model"] == "curlew-20-a"


def test_a_second_pack_is_told_with_its_gain_and_how_it_is_shipped(client: FlaskClient) -> None:
    """372.47 for 97.2 Wh, and for 219.996 m2 a day: reckoned by hand."""
    answer = asked(client, SECOND_PACK)
    (plan,) = plans(answer)
    figures = {each.pop("figure"): each for each in plan["gain"]["figures"]}
    assert figures["energy_wh"] == {
        "before": "97.2",
        "after": "194.4",
        "more": "97.2",
        "cost_for_each": "3.83",
    }
    assert figures["run_minutes"] == {"before": "55.08", "after": "110.16", "more": "55.08"}
    assert figures["area_m2_a_day"]["cost_for_each"] == "1.69"
    assert plan["gain"]["text"] == "It mows about 55 minutes longer on one charge."
    assert plan["gain"]["text"] in answer["summary"]
    (parcel,) = plan["shipping"]
    told = parcel["un_number"], parcel["shipping_class"], parcel["watt_hours"], parcel["in_force_from"]
    assert told == ("UN3480", "eased", "97.2", "2025-01-01")
    assert parcel["source"] in parcel["text"]
    assert parcel["text"].endswith("Check the rules in force before it is shipped.")


@pytest.mark.parametrize(
    ("code", "market", "told"),
    [
        ("en", "isles", ["of which tax 21%", "to pay (EUR)"]),
        ("de", "mainland", ["372,47  zu zahlen (EUR)", "59,47  MwSt. 19\u00a0%", "kostet 372,47\u00a0EUR."]),
        (
            "fr",
            "isles",
            ["dont TVA 21\u00a0%", "\u00e0 payer (EUR)", "c'est possible pour votre Plover 60\u00a0:"],
        ),
        ("sv", "mainland", ["59,47  moms 19\u00a0%", "372,47  att betala (EUR)"]),
    ],
)
def test_a_reader_is_told_amounts_as_the_language_writes_them(
    client: FlaskClient, code: str, market: str, told: list[str]
) -> None:
    """The tax beside prices without it, and within prices that have it; no space that holds is lost."""
    body = {**SECOND_PACK, "unit": {"model": "plover-60", "market": market}}
    page = client.post(PLANS, json=body, headers={"Accept": "text/plain", "Accept-Language": code}).text
    assert [phrase for phrase in told if phrase not in page] == [], page


@pytest.mark.parametrize("body", [LINK, MAPPING])
def test_where_no_pack_is_bought_nothing_is_gained_or_shipped(client: FlaskClient, body: Json) -> None:
    told = [(plan["gain"], plan["shipping"]) for plan in plans(asked(client, body))]
    assert told
    assert told == [(None, [])] * len(told)


@pytest.mark.parametrize(("body", "_outcome", "_approaches"), OUTCOMES)
def test_the_same_question_has_the_same_bytes(
    client: FlaskClient, body: Json, _outcome: str, _approaches: set[str]
) -> None:
    assert client.post(PLANS, json=body).data == client.post(PLANS, json=body).data


def test_a_page_says_all_of_it_in_reading_order(client: FlaskClient) -> None:
    page = client.post(PLANS, json=SECOND_PACK, headers={"Accept": "text/plain"}).text
    told = [
        "Yes, your Plover 60 can have this: battery packs (2).",
        "It takes an accessory and nothing else: battery pack (1).",
        "289.00  battery pack",
        "372.47  to pay (EUR)",
        "It mows about 55 minutes longer on one charge.",
        "Check the rules in force",
        "- Fit the accessory. (dealer, ",
        "WARNING: Connect only battery packs that the maker approves",
    ]
    places = [page.find(each, page.find("\n\n") if at else 0) for at, each in enumerate(told)]
    assert -1 not in places
    assert places == sorted(places)
    assert not set("{}[]_") & set(page)
    assert page.endswith("\n")


BAD = [
    get("/v1/upgrades?model=plover-60&want=batery_packs", "want", "did you mean battery_packs"),
    get("/v1/upgrades?model=plover-60&want=battery_packs&amount=0", "amount", "whole number from 1"),
    get("/v1/upgrades?model=plover-60&want=battery_packs&amount=two", "amount", "whole number from 1"),
    get("/v1/upgrades?want=battery_packs", "unit", "give it, or the model"),
    get("/v1/upgrades?model=plover-60", "want", "is missing"),
    get("/v1/upgrades?model=plover-61&want=zones", "model", "did you mean plover-60|use one of"),
    get("/v1/upgrades?model=plover-60&want=zones&colour=red", "colour", "not a known name|use one of"),
    post({"wanted": {"zones": 1}}, "#/unit", "is missing", path=PLANS),
    post({**SECOND_PACK, "wanted": {}}, "#/wanted", "must hold 1 to 8", path=PLANS),
    post({"unit": {}}, "#/wanted", "is missing", path=PLANS),
    post({**SECOND_PACK, "wanted": {"zones": 0}}, "#/wanted/zones", "from 1", path=PLANS),
    post({**SECOND_PACK, "wanted": {"zones": "2"}}, "#/wanted/zones", "whole number", path=PLANS),
    post({**SECOND_PACK, "wanted": {"zone": 1}}, "#/wanted/zone", "did you mean zones", path=PLANS),
    post({**SECOND_PACK, "budjet": "5"}, "#/budjet", "budget", path=PLANS),
    *(
        post({**SECOND_PACK, "budget": told}, "#/budget", "amount of EUR", path=PLANS)
        for told in ("ten", "-1", "1e3", "9.999", "NaN", "5 EUR", "1_000", "\u0665")
    ),
    post({**SECOND_PACK, "budget": 500}, "#/budget", "text in quotes", path=PLANS),
    post({**SECOND_PACK, "done_by": "nobody"}, "#/done_by", "owner", path=PLANS),
    get("/v1/upgrades?model=plover-60&want=zones&budget=ten", "budget", "amount of EUR"),
    get("/v1/upgrades?model=plover-60&want=zones&market=moon", "market", "use one of|did you mean"),
]


@pytest.mark.parametrize("bad", cases(BAD))
def test_what_is_wrong_is_named_with_its_mend(client: FlaskClient, bad: Bad) -> None:
    bad.check(client)


@pytest.fixture
def public(demo_engine: Engine) -> dict[str, str]:
    return bearer(a_key(demo_engine, Scope.ASK, public=True))


@pytest.fixture
def asking(demo_engine: Engine, public: dict[str, str]) -> FlaskClient:  # noqa: ARG001 - the key is there before the app looks
    """Of an app that knows the key from its start."""
    return keyed_app(demo_engine).test_client()


@pytest.mark.parametrize("body", [SECOND_PACK, LINK, {**MAPPING, "means": "bench"}])
def test_the_public_is_told_costs_and_who_and_no_steps(
    asking: FlaskClient, public: dict[str, str], body: Json
) -> None:
    answer, staff = asked(asking, body, public), asked(asking, body)
    assert all(plan["steps"] for plan in plans(staff))
    found = list(plans(answer))
    assert found
    assert all(not plan["steps"] and plan["who"] and plan["cautions"] for plan in found)
    assert not any("serial" in each for plan in found for each in plan["changes"])
    assert answer["costs"] is not None


def test_the_public_is_not_told_what_is_recorded_of_a_machine(
    asking: FlaskClient, public: dict[str, str]
) -> None:
    target = f"/v1/upgrades?unit={s.TWO_PACK_PLOVER_60}&want=battery_packs&amount=2"
    assert (flat(asking, target)["outcome"], flat(asking, target)["unit"]["recorded"]) == ("already", True)
    shown = flat(asking, target, public)
    assert (shown["outcome"], shown["unit"]["recorded"]) == ("possible", False)


def test_a_plan_is_of_the_day_of_the_database_and_not_of_the_host(demo_file: Path) -> None:
    """As a sale check of the same moment is: the hosts of one shop may differ by a day."""
    engine = open_engine(f"sqlite:///{demo_file}")
    event.listen(engine, "connect", _in_2031)
    app = keyed_app(engine)
    try:
        found = asked(app.test_client(), SECOND_PACK)
        days = {plan["quote"]["valid_until"] for plan in plans(found)}
        assert days == {(date(2031, 5, 6) + timedelta(days=14)).isoformat()}
    finally:
        app.extensions[EXTENSION].reader.close()
        engine.dispose()


def _in_2031(connection: Any, _: object) -> None:
    connection.create_function("strftime", 2, lambda *_: "2031-05-06T07:08:09.000")


def test_a_machine_that_was_taken_apart_is_told_as_such_first(client: FlaskClient) -> None:
    found = asked(client, {"unit": {"serial": s.DONOR_CURLEW_12}, "wanted": {"work_lamp": 1}})
    assert found["summary"].startswith("By our records this machine is no longer in service.")
    assert found["unit"]["in_service"] is False


def test_what_must_not_be_used_of_the_machine_is_told_before_what_could_be_bought_for_it(
    world_app: Flask,
) -> None:
    client, board = world_app.test_client(), s.board_serial("M41", 2024, 35, 31)
    told = {"events": [{"kind": "exposed", "data": {"board": board, "to": "water"}}]}
    written = client.post("/v1/events", json=told, headers={"Idempotency-Key": "main-under-water"})
    assert written.status_code == 201, written.text
    body = {"unit": {"serial": s.FULLY_RECORDED_PLOVER_60}, "wanted": {"battery_packs": 2}}
    said = "The main board that sits in your machine was exposed to water, lightning or fire"
    assert asked(client, body)["summary"].startswith(said)
