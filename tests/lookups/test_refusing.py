"""A machine refuses to run: which of three things it is, where to look, and what puts it right."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.demo import serials as s
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.question import Question, StatedBoard, StatedUnit, Statement
from service.domain.fit.mending import Advice, advice, new_boards
from service.domain.fit.refusing import RefusalCause
from service.domain.terms import Fit, MarketId, Means, ModelId, PartNumber, Programming, RoleId
from service.papers import read_catalogue
from service.usecases.units import Agreement, agreement_of
from service.words.language import language
from service.words.names import Names
from service.words.refusing import mend_sentence
from tests.support.cases import answer

CATALOGUES = Path(__file__).parents[1] / "catalogues"
CLOSED = ("isolate", "ribbon", "cable of", "/candidates")
"""What a customer is never told: anything of work inside the machine."""


def told(client: FlaskClient, unit: str, means: str = "bench") -> dict[str, Any]:
    response = client.get(f"/v1/units/{unit}", query_string={"means": means})
    assert response.status_code == 200, response.text
    found: dict[str, Any] = response.get_json()["if_it_refuses"]
    return found


@cache
def compiled() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


def holding(*boards: StatedBoard) -> StatedUnit:
    """A unit of which nothing is recorded, with these boards in it."""
    return StatedUnit(serial=s.CUSTOMER_PLOVER_40, boards=boards)


def advised(unit: StatedUnit, *, assume: bool = True) -> Advice:
    found = answer(compiled(), Question(unit=unit, assume=assume, means=Means.BENCH))
    renewing = new_boards(unit, found)
    told = advice(found, answer(compiled(), renewing) if renewing else None)
    assert told is not None
    return told


def bound(role: str, model: str, **more: Any) -> StatedBoard:
    read = Statement(binding="bound", bound_model=ModelId(model), **more)
    return StatedBoard(role=RoleId(role), read=read)


def empty(role: str, place: str | None = None) -> StatedBoard:
    return StatedBoard(role=RoleId(role), place=place, empty=True)


def test_boards_that_disagree_name_the_one_that_has_to_change_and_where_others_are(
    client: FlaskClient,
) -> None:
    found = told(client, s.DISAGREEING_PLOVER_40)
    assert found["cause"] == "boards_disagree"
    assert (found["look_at"][0]["role"], found["look_at"][0]["code"]) == ("main", "unit_already_disagrees")
    assert found["mend"]["code"] == "change_boards"
    link = f"/v1/units/{s.DISAGREEING_PLOVER_40}/candidates?role=main"
    assert found["mend"]["boards"] == [{"role": "main", "candidates": link}]
    assert found["mend"]["who"] == ["dealer"]
    assert "another main board" in found["mend"]["text"]
    assert "Plover 40" in found["mend"]["text"]


def test_the_work_of_changing_a_board_is_that_of_a_new_one(client: FlaskClient) -> None:
    """The minutes are those of the plan for a new board there, which the fit answer gives too."""
    found = told(client, s.DISAGREEING_PLOVER_40)
    query = {"unit": s.DISAGREEING_PLOVER_40, "part": "MN-4100", "binding": "blank"}
    plan = client.get("/v1/fit", query_string=query).get_json()["programming"]
    assert found["mend"]["minutes"] == plan["minutes"]
    assert {"isolate_and_wait_for_blades", "read_back_before_binding"} <= {
        each["code"] for each in found["cautions"]
    }


@pytest.mark.parametrize("unit", [s.SWAPPED_CURLEW_20, s.BROKEN_OFF_PLOVER_60])
def test_boards_that_were_never_introduced_are_mended_by_programming(client: FlaskClient, unit: str) -> None:
    found = told(client, unit)
    assert found["causes"] == ["not_introduced"]
    assert "panel" in [each["role"] for each in found["look_at"]]
    whole = client.get(f"/v1/units/{unit}").get_json()["programming"]
    mend = found["mend"]
    assert (mend["code"], mend["boards"], mend["minutes"]) == ("program", [], whole["minutes"])
    assert mend["who"] == ["dealer"]


def test_boards_that_agree_may_not_be_connected_and_the_cables_stand_in_the_order_of_the_way(
    client: FlaskClient,
) -> None:
    found = told(client, s.CUSTOMER_PLOVER_40)
    assert found["causes"] == ["not_connected"]
    looks = [(each["role"], each["cable"], each["through"]) for each in found["look_at"]]
    assert looks == [
        ("panel", "ribbon cable", "main"),
        ("position", "dome cable", "main"),
        ("radio", "dome cable", "main"),
        ("bumper", "ribbon cable", "panel"),
        ("lift", "ribbon cable", "panel"),
        ("rain", "ribbon cable", "panel"),
        ("lamp", "lamp cable", "panel"),
    ]
    assert (found["mend"]["code"], found["mend"]["who"]) == ("check_connections", ["dealer"])
    assert "battery_off_before_boards" in {each["code"] for each in found["cautions"]}


def test_no_cable_of_a_board_that_the_machine_does_not_have(client: FlaskClient) -> None:
    small = told(client, s.CUSTOMER_WREN_4)
    assert [each["role"] for each in small["look_at"]] == ["panel", "bumper", "lift"]


@pytest.mark.parametrize(
    "unit",
    [s.DISAGREEING_PLOVER_40, s.SWAPPED_CURLEW_20, s.CUSTOMER_PLOVER_40, s.CUSTOMER_CURLEW_EITHER],
)
def test_a_customer_is_told_who_does_it_and_nothing_of_the_inside(client: FlaskClient, unit: str) -> None:
    found = told(client, unit, "customer")
    assert found["look_at"] == []
    assert found["mend"]["text"].startswith("A dealer has to ")
    assert {each["code"] for each in found["cautions"]} == {"makers_manual_first", "do_not_open_the_machine"}
    assert not any(word in str(found) for word in CLOSED)
    assert found["cause"] == told(client, unit)["cause"]


def test_something_held_comes_before_any_work(client: FlaskClient) -> None:
    found = told(client, s.REPORTED_STOLEN_WREN_8)
    assert (found["mend"]["code"], found["look_at"]) == ("ask_first", [])


def test_a_machine_that_no_papers_cover_is_left_to_the_makers_manual(client: FlaskClient) -> None:
    found = told(client, s.RENTAL_RAIL_1)
    assert (found["cause"], found["mend"]["code"]) == ("unknown", "find_out")
    assert "maker's manual" in found["mend"]["text"]


def test_nobody_expects_a_dismantled_machine_to_run(client: FlaskClient) -> None:
    whole = client.get(f"/v1/units/{s.DONOR_PLOVER_60}").get_json()
    assert whole["in_service"] is False
    assert "if_it_refuses" not in whole


def test_several_causes_are_told_at_once_and_what_disagrees_comes_first() -> None:
    found = advised(holding(bound("main", "plover-60"), empty("lift"), empty("bumper", "left"))).refusal
    assert found.causes == (RefusalCause.BOARDS_DISAGREE, RefusalCause.INCOMPLETE)
    assert [str(look.place) for look in found.looks] == ["main", "bumper.left", "lift"]


def test_a_pair_that_was_never_introduced_is_told_beside_a_board_that_is_missing() -> None:
    panel = bound("panel", "plover-40", introduced=False)
    found = advised(holding(bound("main", "plover-40"), panel, empty("lift")))
    assert found.refusal.causes == (RefusalCause.INCOMPLETE, RefusalCause.NOT_INTRODUCED)
    assert [str(place) for place in found.mend.places] == ["lift"]
    assert found.mend.minutes is not None


def test_boards_that_agree_on_another_model_both_have_to_change() -> None:
    found = advised(holding(bound("main", "plover-60"), bound("panel", "plover-60")))
    assert found.refusal.cause is RefusalCause.BOARDS_DISAGREE
    assert [str(place) for place in found.mend.places] == ["main", "panel"]
    assert found.mend.minutes is not None, "the work of both together is a plan"
    said = mend_sentence(found, Names(compiled().catalogue, language("en")))
    assert said.startswith("Fit another main board and another panel board.")


def test_whether_they_were_introduced_may_be_the_question() -> None:
    main, panel = (
        bound(role, "plover-40", part=PartNumber(part))
        for role, part in (("main", "MN-4100"), ("panel", "PN-2400"))
    )
    found = advised(holding(main, panel), assume=False)
    assert (found.answer.fit, found.answer.programming) == (Fit.YES, Programming.UNKNOWN)
    assert (found.refusal.causes, found.mend.code) == ((RefusalCause.UNKNOWN,), "find_out")
    assert [str(look.place) for look in found.refusal.looks] == ["panel"]
    said = mend_sentence(found, Names(compiled().catalogue, language("en")))
    assert said.startswith("Were the panel board and the board that carries the serial number introduced")


def test_what_is_not_known_is_asked_for() -> None:
    used = StatedBoard(role=RoleId("main"), read=Statement(binding="used"))
    found = advised(holding(used, bound("panel", "plover-40")), assume=False)
    assert found.refusal.cause is RefusalCause.UNKNOWN
    assert "main" in [str(look.place) for look in found.refusal.looks]
    assert found.mend.code == "find_out"
    said = mend_sentence(found, Names(compiled().catalogue, language("en")))
    assert said.startswith("Is the main board blank, or for which model was it programmed?")


def test_software_that_cannot_be_brought_together_is_a_cause_of_its_own() -> None:
    papers = compile_catalogue(read_catalogue((CATALOGUES / "two_generations.yaml").read_text("utf-8")))
    main = Statement(binding="bound", bound_model=ModelId("kite"), part=PartNumber("M-1"), release="2.0.0")
    panel = Statement(binding="bound", bound_model=ModelId("kite"), part=PartNumber("P-1"))
    boards = tuple(StatedBoard(role=RoleId(r), read=told) for r, told in (("main", main), ("panel", panel)))
    unit = StatedUnit(model=ModelId("kite"), market=MarketId("home"), boards=boards)
    found = answer(papers, Question(unit=unit, means=Means.BENCH))
    renewing = new_boards(unit, found)
    told = advice(found, answer(papers, renewing) if renewing else None)
    assert told is not None
    assert told.refusal.causes == (RefusalCause.RELEASES_DISAGREE,)
    assert [str(look.place) for look in told.refusal.looks] == ["panel"]
    assert (told.mend.code, [str(place) for place in told.mend.places]) == ("change_boards", ["panel"])
    assert told.mend.minutes is not None
    assert agreement_of(found) is Agreement.RELEASES_DISAGREE


def claimed(role: str, condition: str) -> StatedBoard:
    return StatedBoard(role=RoleId(role), claimed=Statement(condition=condition))


@pytest.mark.parametrize("condition", ["scrapped", "failed"])
def test_a_board_that_must_not_be_used_any_more_is_changed(condition: str) -> None:
    found = advised(holding(claimed("main", condition)))
    assert found.refusal.causes == (RefusalCause.NOT_USABLE,)
    assert [str(look.place) for look in found.refusal.looks] == ["main"]
    assert (found.mend.code, [str(place) for place in found.mend.places]) == ("change_boards", ["main"])
    assert found.mend.minutes is not None


def test_a_board_that_was_under_water_is_tested_before_the_machine_is_used() -> None:
    found = advised(holding(claimed("lift", "exposed")))
    assert found.refusal.causes == (RefusalCause.NOT_USABLE,)
    assert (found.mend.code, [str(place) for place in found.mend.places]) == ("test_boards", ["lift"])
    said = mend_sentence(found, Names(compiled().catalogue, language("en")))
    assert said.startswith("Before the machine is used, test what may be damaged: lift board.")


def test_what_may_have_been_struck_comes_before_the_cables() -> None:
    found = advised(holding(claimed("main", "maybe_exposed")))
    assert found.refusal.causes == (RefusalCause.NOT_USABLE, RefusalCause.NOT_CONNECTED)
    assert [str(look.place) for look in found.refusal.looks][:2] == ["main", "panel"]
    assert found.mend.code == "test_boards"


def test_a_board_that_disagrees_and_one_that_was_scrapped_both_change() -> None:
    found = advised(holding(bound("main", "plover-60"), claimed("lift", "scrapped")))
    assert found.refusal.causes == (RefusalCause.BOARDS_DISAGREE, RefusalCause.NOT_USABLE)
    assert [str(place) for place in found.mend.places] == ["lift", "main"]
