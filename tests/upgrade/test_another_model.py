"""Whether a machine may become another model is data: the battery and the radio, under both policies.

Common practice, no source: a Medium is allowed one battery and no link, whatever boards are put into it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from service.domain.terms import StepKind
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.upgrading import Found, UpgradeOutcome
from tests.upgrade.papers import Paper, changed, found, part, trade_practice, with_conversion

BATTERY = {"battery_packs": 2}
RADIO = {"short_range_link": 1}
WANTS = pytest.mark.parametrize("wanted", [BATTERY, RADIO], ids=["battery", "radio"])


def other_assortments() -> Iterator[Paper]:
    """The same catalogue with one part of those sold taken away, or with one that has every feature added,
    or all of these added at once."""
    whole = trade_practice()
    wonders = [
        {
            "number": f"WONDER-{role}",
            "name": "wonder",
            "role": role,
            "binding": {"main": "names", "panel": "follows"}.get(role, "free"),
            "features": dict.fromkeys(whole["features"], 9),
            "replaces": [{"part": each["number"]} for each in whole["parts"] if each["role"] == role],
            "price": "1.00",
            **({"release": "2.0"} if role in ("main", "panel") else {}),
        }
        for role in whole["roles"]
    ]
    for each in whole["parts"]:
        paper = changed(whole)
        part(paper, each["number"]).pop("price")
        yield paper
    for added in (*([each] for each in wonders), wonders):
        yield {**whole, "parts": [*whole["parts"], *added]}


@WANTS
def test_never_is_never_and_says_why(wanted: dict[str, int]) -> None:
    answer = found(trade_practice(), "medium", wanted)
    assert answer.outcome is UpgradeOutcome.NOT_POSSIBLE
    reasons = {each.code for each in answer.obstacles}
    assert "never_another_model" in reasons
    assert reasons <= {"never_another_model", "not_allowed_for_model", "planned"}
    assert [each.model for each in answer.trade_ups] == ["large", "large-app"] if wanted == BATTERY else True


@WANTS
def test_no_part_sold_changes_it(wanted: dict[str, int]) -> None:
    outcomes = [found(paper, "medium", wanted).outcome for paper in other_assortments()]
    assert len(outcomes) >= 12
    assert set(outcomes) == {UpgradeOutcome.NOT_POSSIBLE}


def made_a_large(wanted: dict[str, int]) -> tuple[Found, Plan]:
    answer = found(with_conversion(), "medium", wanted)
    (plan,) = answer.plans
    return answer, plan


@WANTS
def test_where_the_maker_issues_a_serial_it_takes_all_that_the_bigger_model_is(
    wanted: dict[str, int],
) -> None:
    answer, plan = made_a_large(wanted)
    assert answer.outcome is UpgradeOutcome.POSSIBLE_NOT_WORTH_IT
    assert (plan.approach, plan.target) == (Approach.ANOTHER_MODEL, "large")
    new = {each.bought.number for each in plan.changes if each.bought}
    assert new == {"MAIN-1", "PANEL-1", "BUMPER-2", "HOLDER-1"}, "and the lift board stays"
    assert plan.needs_first == ("maker_issues_serial", "dealer_programs")
    assert plan.lead_days is None, "nobody said when the boards can be had"
    kinds = [step.kind for step in plan.steps]
    assert {StepKind.ENTER_SERIAL, StepKind.ASSIGN, StepKind.INTRODUCE} <= set(kinds)
    lasting = [step.kind for step in plan.steps if not step.undoable]
    assert lasting == [StepKind.ENTER_SERIAL, StepKind.ASSIGN]


def test_the_second_battery_costs_hundreds_and_is_among_it() -> None:
    answer, plan = made_a_large(BATTERY)
    assert plan.accessories == (("battery_pack", 1),)
    # Boards 300 + 150 + 70 + 25, battery 250, serial 180, programming 40; 245 minutes at 80 an hour.
    assert plan.burden.money == 1015 + Fraction(80 * plan.burden.minutes, 60)
    assert answer.worth is not None
    assert answer.worth.instead == 2100 + 250 - 600, "a new Large with its second battery, less the Medium"
    assert plan.burden.money > Fraction(60, 100) * Fraction(answer.worth.instead)


def test_the_radio_takes_newer_software_on_both_boards_and_no_battery() -> None:
    _, plan = made_a_large(RADIO)
    assert plan.accessories == ()
    loads = [step.place for step in plan.steps if step.kind is StepKind.LOAD]
    assert [str(place) for place in loads] == ["main", "panel"]


@WANTS
@pytest.mark.parametrize("lacking", ["MAIN-1", "PANEL-1", "BUMPER-2", "HOLDER-1"])
def test_it_cannot_be_done_without_one_of_them(wanted: dict[str, int], lacking: str) -> None:
    paper = with_conversion()
    part(paper, lacking).pop("price")
    answer = found(paper, "medium", wanted)
    assert answer.outcome is UpgradeOutcome.NOT_POSSIBLE
    assert "nothing_fits_there" in {each.code for each in answer.obstacles}


@WANTS
def test_a_conversion_leads_one_way_and_to_one_model(wanted: dict[str, int]) -> None:
    assert found(with_conversion(), "small", wanted).outcome is UpgradeOutcome.NOT_POSSIBLE


@WANTS
def test_what_the_other_model_has_no_place_for_comes_out(wanted: dict[str, int]) -> None:
    """Nothing is left behind in a place that a Large does not have; taking it out is told and counted."""
    paper = with_conversion()
    paper["roles"]["rain"] = {"name": "rain board"}
    paper["models"]["medium"]["roles"]["rain"] = {}
    rain = {"number": "RAIN-1", "name": "rain board", "role": "rain", "fits": [{"models": ["medium"]}]}
    paper["parts"].append({**rain, "price": "20.00"})
    (with_rain,) = found(paper, "medium", wanted).plans
    _, without = made_a_large(wanted)
    out = [each for each in with_rain.changes if each.taken_out]
    assert [str(each.place) for each in out] == ["rain"]
    assert [str(step.place) for step in with_rain.steps if step.kind is StepKind.REMOVE][-1:] == ["rain"]
    assert len(with_rain.steps) == len(without.steps) + 1
    assert with_rain.burden.minutes > without.burden.minutes


def test_software_alone_is_followed_by_the_self_test() -> None:
    """Common practice, no source: whatever was loaded is tested before the machine goes back."""
    paper = trade_practice()
    load = {"step": "load", "who": "dealer", "minutes": [5, 15], "tool": True}
    paper["families"]["big-range"]["procedures"].insert(3, load)
    (plan,) = found(paper, "large", RADIO).plans
    assert plan.approach is Approach.SOFTWARE_ONLY
    assert [step.kind for step in plan.steps] == [StepKind.LOAD, StepKind.LOAD, StepKind.SELF_TEST]
