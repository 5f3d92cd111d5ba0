"""What an upgrade loads can be loaded, in that order, and brings the boards together."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

from service.domain.facts.question import Question, StatedBoard, StatedUnit, Statement
from service.domain.terms import CapabilityId, MarketId, ModelId, PartNumber, RoleId
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.standing import standings
from service.domain.upgrade.upgrading import Found, UpgradeOutcome, found_for
from tests.laws.engine import compiled
from tests.support.cases import case_of

TWO_GENERATIONS = Path(__file__).parents[1] / "catalogues/two_generations.yaml"
WANTED = {CapabilityId("edge_cutting"): 1}


def papers(**prices: str) -> dict[str, Any]:
    paper: dict[str, Any] = yaml.safe_load(TWO_GENERATIONS.read_text(encoding="utf-8"))
    for part in paper["parts"]:
        if part["number"] in prices:
            part["price"] = prices[part["number"]]
    return paper


def found(paper: Mapping[str, Any], boards: Mapping[str, tuple[str, str]]) -> Found:
    """What comes of a Kite with these boards: role to part and release."""
    stated = tuple(
        StatedBoard(
            role=RoleId(role),
            read=Statement(part=PartNumber(part), binding="bound", bound_model=ModelId("kite"), release=name)
            if role in ("main", "panel")
            else Statement(part=PartNumber(part), release=name),
        )
        for role, (part, name) in boards.items()
    )
    unit = StatedUnit(model=ModelId("kite"), market=MarketId("home"), boards=stated)
    (standing,) = standings(case_of(compiled(paper), Question(unit=unit)).facts)
    return found_for(standing, WANTED, Offers(terms=None))


def loads(plan: Plan) -> list[str]:
    return [f"{step.place} {step.release}" for step in plan.steps if step.kind == "load"]


OLD = {"main": ("M-1", "1.0.0"), "panel": ("P-2", "1.0.0"), "dome": ("D-1", "1.0.0")}


def test_the_panel_is_lifted_before_the_main_board_that_wants_it() -> None:
    (plan,) = found(papers(), OLD).plans
    assert plan.approach is Approach.SOFTWARE_ONLY
    assert loads(plan) == ["panel 1", "main 1"]
    assert plan.minutes == (30, 45)


def test_a_panel_without_room_for_it_is_changed_and_the_new_one_loaded() -> None:
    paper = papers(**{"P-2": "100.00"})
    paper["parts"][3]["release"] = "1.0.0"
    (plan,) = found(paper, OLD | {"panel": ("P-1", "1.0.0")}).plans
    assert plan.approach is Approach.OTHER_BOARDS
    assert [each.place.role for each in plan.changes] == ["main", "panel"]
    assert loads(plan) == ["panel 1", "main 1"]


def test_a_panel_that_cannot_be_had_rules_it_out() -> None:
    answer = found(papers(), OLD | {"panel": ("P-1", "1.0.0")})
    assert (answer.outcome, answer.plans) == (UpgradeOutcome.NOT_POSSIBLE, ())


def test_no_board_is_bought_that_the_others_cannot_be_brought_together_with() -> None:
    paper = papers(**{"M-2": "1.00"})
    assert found(paper, OLD | {"panel": ("P-1", "1.0.0")}).plans == ()
