"""Cases whose answer is reckoned by hand: stock, guards, markets, what is unknown, and the bound."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from service.domain.catalogue.compiled import compile_catalogue
from service.domain.facts.question import Question, StatedUnit
from service.domain.terms import (
    CapabilityId,
    Cause,
    Holds,
    MarketId,
    Means,
    ModelId,
    PartNumber,
    RoleId,
    Serial,
    Who,
)
from service.domain.upgrade import options
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.offers import Offers, StockBoard
from service.domain.upgrade.upgrading import Found, UpgradeOutcome, Upgrading, upgrading
from service.papers import read_catalogue
from tests.support.cases import case_of
from tests.upgrade.asked import offers
from tests.upgrade.papers import Paper, found, part

SONAR, PORTS = {"sonar": 1}, {"ports": 2}


def paper() -> Paper:
    """A machine with a bumper board on either side. Work costs nothing, so that prices speak."""
    steps = ["read_out", "remove", "mount", "enter_serial", "introduce", "self_test"]
    tool = {"read_out", "enter_serial", "introduce"}
    terms = {"tax": {"rate": "0", "prices": "included"}, "receipt": "-", "returns": "-"}
    free = {"programming_fee": "0.00", "labour_per_hour": "0.00"}
    return {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {"north": "North", "south": "South"},
        "features": {"ear": "ear", "port": "port"},
        "roles": {"main": {"name": "main"}, "bumper": {"name": "bumper", "places": ["left", "right"]}},
        "capabilities": {
            "sonar": {"name": "sonar", "kind": "switch", "hardware": [{"role": "bumper", "feature": "ear"}]},
            "ports": {"name": "ports", "kind": "count", "hardware": [{"role": "main", "feature": "port"}]},
        },
        "families": {
            "fam": {
                "name": "Family",
                "procedures": [
                    {
                        "step": each,
                        "who": "dealer",
                        "minutes": [5, 5],
                        **({"tool": True} if each in tool else {}),
                    }
                    for each in steps
                ],
            }
        },
        "models": {
            model: {
                "name": model,
                "family": "fam",
                "roles": {"main": {}, "bumper": {}},
                "allows": {"sonar": {"amount": 1}, "ports": {"amount": 2}},
            }
            for model in ("m1", "m2")
        },
        "parts": [
            _part("MAIN-1", "main", "names", {}, "60.00"),
            {**_part("MAIN-2", "main", "names", {"port": 2}, "100.00"), **_newer("MAIN-1")},
            _part("BUMP-1", "bumper", "free", {}, "20.00"),
            {**_part("BUMP-2", "bumper", "free", {"ear": 1}, "50.00"), **_newer("BUMP-1")},
        ],
        "sale": {"valid_days": 30, "markets": {each: {**terms, **free} for each in ("north", "south")}},
    }


def _part(number: str, role: str, binding: str, features: dict[str, int], price: str) -> dict[str, Any]:
    fits = [{"models": ["m1", "m2"]}]
    told = {"number": number, "name": role, "role": role, "binding": binding, "fits": fits, "price": price}
    return {**told, "features": features}


def _newer(number: str) -> dict[str, Any]:
    """Listed by what it replaces, so that no machine left the factory with it."""
    return {"replaces": [{"part": number}], "fits": []}


def with_more_bumpers(*numbers: int) -> Paper:
    """Bumper boards that differ from BUMP-2 in their number alone."""
    told = paper()
    for each in numbers:
        told["parts"].append({**part(told, "BUMP-2"), "number": f"BUMP-{each}"})
    return told


def shelf(*boards: tuple[str, str, str, Holds]) -> dict[RoleId, tuple[StockBoard, ...]]:
    """Boards in stock: number, price, the model they are bound to, whose serial they hold."""
    by_role: dict[RoleId, tuple[StockBoard, ...]] = {}
    for at, (number, price, bound, holds) in enumerate(boards):
        role = RoleId("main" if number.startswith("MAIN") else "bumper")
        board = StockBoard(
            serial=Serial(f"S{at}"),
            part=PartNumber(number),
            binding=ModelId(bound) if bound else None,
            holds=holds,
            price=Decimal(price),
            used=True,
        )
        by_role[role] = (*by_role.get(role, ()), board)
    return by_role


def taken(answer: Found) -> list[str]:
    """What the best plan puts in: serials from stock, numbers of new parts."""
    assert answer.plans, answer
    return [str(each.serial or (each.bought and each.bought.number)) for each in answer.plans[0].changes]


USED_BUMPER = ("BUMP-2", "10.00", "", Holds.NOTHING)


def test_one_used_board_goes_to_one_place() -> None:
    answer = found(paper(), "m1", SONAR, stock=shelf(USED_BUMPER))
    assert sorted(taken(answer)) == ["BUMP-2", "S0"]
    assert answer.plans[0].burden.money == 10 + 50


def test_two_used_boards_go_to_two_places() -> None:
    answer = found(paper(), "m1", SONAR, stock=shelf(USED_BUMPER, USED_BUMPER))
    assert sorted(taken(answer)) == ["S0", "S1"]


def test_one_used_board_is_not_enough_where_nothing_is_ordered() -> None:
    answer = found(paper(), "m1", SONAR, stock=shelf(USED_BUMPER), new_parts=False)
    assert answer.outcome is UpgradeOutcome.NOT_POSSIBLE
    assert "not_together" in {each.code for each in answer.obstacles}


def test_new_parts_alone_leave_the_stock_alone() -> None:
    assert taken(found(paper(), "m1", SONAR)) == ["BUMP-2", "BUMP-2"]


@pytest.mark.parametrize(
    ("board", "expected"),
    [
        (("MAIN-2", "80.00", "m1", Holds.IDLE), ["S0"]),
        (("MAIN-2", "120.00", "m1", Holds.IDLE), ["MAIN-2"]),
        (("MAIN-2", "5.00", "m2", Holds.IDLE), ["MAIN-2"]),
        (("MAIN-2", "1.00", "m1", Holds.IN_SERVICE), ["MAIN-2"]),
        (("MAIN-1", "1.00", "m1", Holds.IDLE), ["MAIN-2"]),
    ],
    ids=["bound and cheaper", "bound and dearer", "another model's", "serial in service", "no ports"],
)
def test_a_bound_board_is_taken_where_it_is_cheaper_and_may_serve(
    board: tuple[str, str, str, Holds], expected: list[str]
) -> None:
    assert taken(found(paper(), "m1", PORTS, stock=shelf(board))) == expected


def test_a_serial_in_service_is_written_over_where_the_family_allows_it() -> None:
    told = paper()
    told["families"]["fam"]["another_serial"] = "allowed"
    answer = found(told, "m1", PORTS, stock=shelf(("MAIN-2", "1.00", "m1", Holds.IN_SERVICE)))
    assert taken(answer) == ["S0"]
    assert "enter_serial" in [step.kind for step in answer.plans[0].steps]


def test_what_is_only_planned_is_not_possible_whatever_is_sold() -> None:
    told = paper()
    told["models"]["m1"]["allows"]["sonar"] = {"amount": 0, "planned": True}
    reasons = found(told, "m1", SONAR).obstacles
    assert {each.code for each in reasons} == {"planned", "never_another_model"}


def test_what_is_allowed_or_sold_in_another_market_only() -> None:
    told = paper()
    told["models"]["m1"]["allows"]["sonar"]["markets"] = ["south"]
    assert "not_in_market" in {each.code for each in found(told, "m1", SONAR).obstacles}
    told = paper()
    part(told, "BUMP-2")["markets"] = ["south"]
    assert "no_hardware" in {each.code for each in found(told, "m1", SONAR).obstacles}


def test_what_no_board_has_together_says_so() -> None:
    """Two things of one place, each on a board of its own."""
    told = paper()
    part(told, "MAIN-1")["features"] = {"ear": 1}
    told["capabilities"]["hearing"] = {
        **told["capabilities"]["sonar"],
        "hardware": [{"role": "main", "feature": "ear"}],
    }
    told["models"]["m1"]["allows"]["hearing"] = {"amount": 1}
    answer = found(told, "m1", {**PORTS, "hearing": 1})
    assert "not_together" in {each.code for each in answer.obstacles}


def with_workers(**who: str) -> Paper:
    """Steps are a dealer's but for these."""
    told = paper()
    for each in told["families"]["fam"]["procedures"]:
        each["who"] = who.get(each["step"], "dealer")
    return told


@pytest.mark.parametrize(
    ("told", "done_by", "reason"),
    [
        (with_workers(), Who.OWNER, "dealer_works"),
        (with_workers(), Who.DEALER, ""),
        (with_workers(mount="maker"), Who.DEALER, "maker_works"),
        (with_workers(mount="maker"), Who.OWNER, "maker_works"),
        (with_workers(mount="maker"), Who.MAKER, ""),
        (with_workers(remove="owner", mount="owner"), Who.OWNER, "dealer_works"),
        (with_workers(remove="owner", mount="owner", self_test="owner"), Who.OWNER, ""),
    ],
)
def test_nobody_works_who_may_not(told: Paper, done_by: Who, reason: str) -> None:
    """A bumper board is taken out and fitted, and the machine tested; no tool is taken."""
    answer = found(told, "m1", SONAR, done_by=done_by)
    assert [each.code for each in answer.obstacles] == ([reason] if reason else []), "whatever it becomes"
    assert not answer.plans or set(answer.plans[0].who) <= set(list(Who)[: list(Who).index(done_by) + 1])


def test_of_two_ways_the_one_that_the_owner_may_go_is_told() -> None:
    """What only a dealer may program is no way, also where it is the cheaper one."""
    told = with_workers(remove="owner", mount="owner", self_test="owner", load="dealer")
    told["roles"]["bumper"]["releases"] = ["1.0", "2.0"]
    told["capabilities"]["sonar"]["releases"] = {"bumper": "2.0"}
    told["capabilities"]["sonar"]["hardware"] = [{"role": "bumper", "feature": "port"}]
    part(told, "BUMP-1")["features"] = part(told, "BUMP-2")["features"] = {"port": 1}
    load = {"step": "load", "who": "dealer", "minutes": [5, 5], "tool": True}
    told["families"]["fam"]["procedures"].insert(3, load)
    part(told, "BUMP-1")["release"], part(told, "BUMP-2")["release"] = "1.0", "2.0"
    assert found(told, "m1", SONAR).plans[0].approach is Approach.SOFTWARE_ONLY
    answer = found(told, "m1", SONAR, done_by=Who.OWNER)
    assert [each.approach for each in answer.plans] == [Approach.OTHER_BOARDS]
    assert answer.plans[0].burden.money == 50 + 50


def asked(told: Paper, wanted: dict[str, int], means: Means = Means.COUNTER) -> Upgrading:
    compiled = compile_catalogue(read_catalogue(json.dumps(told)))
    needs = {CapabilityId(name): many for name, many in wanted.items()}

    def had(market: str) -> Offers:
        return offers(compiled, market)

    machine = StatedUnit(model=ModelId("m1"), market=MarketId("north"))
    return upgrading(case_of(compiled, Question(unit=machine, means=means)).facts, needs, had)


def test_unknown_boards_have_a_plan_each_a_range_of_cost_and_a_question() -> None:
    """The factory fitted either of two bumper boards, and nobody has looked which."""
    told = paper()
    part(told, "BUMP-2")["fits"] = [{"models": ["m1", "m2"]}]
    answer = asked(told, SONAR)
    assert answer.outcome is UpgradeOutcome.POSSIBLE
    assert {case.found.outcome for case in answer.cases} == {UpgradeOutcome.ALREADY, UpgradeOutcome.POSSIBLE}
    assert answer.costs == (Fraction(50), Fraction(100)), "one side or both"
    assert answer.ask is None, "nobody at the counter can look into the machine"
    assert asked(told, SONAR, Means.BENCH).ask == "bumper.left.part"


def test_past_the_bound_it_cannot_tell_and_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    """Four places of one role are filled together, each with any of twenty boards: more ports cost more."""
    told = with_more_bumpers(*range(3, 21))
    told["roles"]["bumper"]["places"] = [f"p{at}" for at in range(4)]
    told["capabilities"]["ports"]["hardware"] = [{"role": "bumper", "feature": "port"}]
    told["models"]["m1"]["allows"]["ports"]["amount"] = 60
    for at in range(3, 21):
        part(told, f"BUMP-{at}").update(features={"port": at}, price=f"{at * at}.00")
    assert asked(told, SONAR).outcome is UpgradeOutcome.POSSIBLE, "of boards that are alike one is looked at"
    answer = asked(told, {"ports": 60})
    assert (answer.outcome, answer.cause) == (UpgradeOutcome.CANNOT_TELL, Cause.BOUND_EXCEEDED)
    assert answer.cases == ()
    assert asked(paper(), SONAR).outcome is UpgradeOutcome.POSSIBLE
    monkeypatch.setattr(options, "MAX_FILLINGS", 2)
    assert asked(paper(), SONAR).cause is Cause.BOUND_EXCEEDED


def test_of_boards_of_one_price_the_same_is_taken_in_every_process() -> None:
    """All is equal but the names: the first by name is taken."""
    script = (
        "from tests.upgrade.test_by_hand import *\n"
        "told = with_more_bumpers(4, 3)\n"
        "print(taken(found(told, 'm1', {**SONAR, **PORTS}, stock=shelf(USED_BUMPER, USED_BUMPER))))\n"
        "print(taken(found(told, 'm1', SONAR)))"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert said == {"['MAIN-2', 'S0', 'S1']\n['BUMP-2', 'BUMP-2']\n"}
