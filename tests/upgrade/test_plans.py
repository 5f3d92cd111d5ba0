"""What is counted is what is done: a plan's burden is that of its steps and lines, and each step is legal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest

from service.domain.quote.money import exact
from service.domain.steps.plan import World
from service.domain.steps.plan import plan as worked
from service.domain.terms import Who
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.filling import Filling, kept
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.seats import Seating
from service.domain.upgrade.standing import Standing, standings
from service.domain.upgrade.trading import newest
from service.domain.upgrade.upgrading import UpgradeOutcome, found_for
from tests.upgrade.asked import demo, offers, questions, unit


def every_plan() -> Iterator[tuple[Standing, Plan, Fraction]]:
    for facts, want, offered in questions(demo()):
        for standing in standings(facts):
            for each in found_for(standing, want, offered).plans:
                yield standing, each, offered.session


Plans = list[tuple[Standing, Plan, Fraction]]


@pytest.fixture(scope="module")
def plans() -> Plans:
    """Every plan for every model sold on the mainland, to everything that any model may do."""
    return list(every_plan())


def needs_tool(plan: Plan) -> bool:
    return any(step.procedure.tool for step in plan.steps)


def test_there_are_plans_of_every_approach(plans: Plans) -> None:
    assert len(plans) > 30
    assert {each.approach for _, each, _ in plans} >= {"accessory_only", "software_only", "another_model"}


def test_the_money_is_the_exact_sum_of_the_lines(plans: Plans) -> None:
    for _, each, _ in plans:
        lines = [exact(charge.unit_price) * charge.quantity / charge.per for charge in each.charges]
        assert sum(lines, Fraction(0)) == each.burden.money


def test_steps_that_last_and_minutes_are_those_of_the_steps(plans: Plans) -> None:
    for _, each, _ in plans:
        assert each.burden.lasting == sum(not step.undoable for step in each.steps)
        assert each.burden.minutes == each.minutes[1] == sum(s.procedure.minutes[1] for s in each.steps)


def test_the_steps_are_those_of_the_planner_for_the_whole_machine(plans: Plans) -> None:
    """The optimiser counts block by block; the one planner works the whole set, by the transition table."""
    for standing, each, _ in plans:
        hub = standing.hub if each.target == standing.hub.model.id else newest(standing.hub, each.target)
        assert hub is not None
        changed = {filling.place: filling for filling in each.changes}
        chosen = [
            changed.get(place) or next(kept(standing, hub, place))
            for place in dict.fromkeys((*hub.places, *changed))
        ]
        aim = Aim(standing=standing, hub=hub, wanted={}, offers=offers(demo(), "mainland"))
        whole, _ = worked(world_of_the_parts_themselves(aim, chosen, session=needs_tool(each)))
        ours = [step for step in each.steps if step.kind != "fit_accessory"]
        assert [(s.kind, s.place, s.old, s.undoable) for s in ours] == [
            (s.kind, s.place, s.old, s.undoable) for s in whole
        ]


def world_of_the_parts_themselves(aim: Aim, chosen: list[Filling], *, session: bool) -> World:
    """The whole machine with its own parts, where the optimiser plans each block with stand-ins of them."""
    seating = Seating(aim)
    seats = seating.seated(chosen)
    assert seats is not None
    naming = seating.naming(chosen)
    there = {each.place: seating.there(each, introduced=seating.introduced(each, naming)) for each in chosen}
    sits = aim.standing.boards
    return World(
        hub=aim.hub,
        boards={place: (each.board, each.verdict) for place, each in there.items() if each is not None},
        replaced={
            each.place: sits[each.place].part for each in chosen if not each.kept and each.place in sits
        },
        second_hand=frozenset(seat.place for seat in seats if seat.second_hand),
        unread=frozenset(seat.place for seat in seats if seat.unread),
        session=session,
        loads=tuple((each.place, release) for each in chosen for release in each.loads),
    )


def test_the_session_is_charged_once_and_only_where_the_tool_is_taken(plans: Plans) -> None:
    for _, each, fee in plans:
        charged = [charge for charge in each.charges if charge.kind == "programming"]
        assert [exact(charge.unit_price) for charge in charged] == ([fee] if needs_tool(each) else [])


def test_the_owners_work_costs_nothing(plans: Plans) -> None:
    for _, each, _ in plans:
        minutes = sum(s.procedure.minutes[1] for s in each.steps if s.procedure.who is not Who.OWNER)
        assert sum(charge.quantity for charge in each.charges if charge.kind == "labour") == minutes


@pytest.mark.parametrize(
    ("model", "want", "outcome"),
    [
        ("curlew-12", {"work_lamp": 1}, UpgradeOutcome.ALREADY),
        ("plover-60", {"battery_packs": 2}, UpgradeOutcome.POSSIBLE),
        ("curlew-20", {"short_range_link": 1}, UpgradeOutcome.POSSIBLE),
        ("curlew-12", {"satellite_mapping": 1}, UpgradeOutcome.POSSIBLE_NOT_WORTH_IT),
        ("plover-40", {"battery_packs": 2}, UpgradeOutcome.NOT_POSSIBLE),
        ("wren-8", {"work_lamp": 1}, UpgradeOutcome.NOT_POSSIBLE),
    ],
)
def test_what_an_expert_would_say(model: str, want: dict[str, int], outcome: UpgradeOutcome) -> None:
    found = [
        found_for(each, want, offers(demo(), "mainland"))  # type: ignore[arg-type] # ids are texts here
        for each in standings(unit(demo(), model, "mainland"))
    ]
    assert {each.outcome for each in found} == {outcome}
