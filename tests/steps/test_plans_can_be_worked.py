"""Every plan of a world in which nothing is unknown can be worked, step by step, to a machine that runs.

Held by an independent checker over generated catalogues whose families work in different orders.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache

import pytest

from service.domain.terms import StepKind
from tests.oracles.world import role_of
from tests.steps.checker import faults, needs_of_free_parts
from tests.steps.plans import Known, Step, fitting, steps

SEEDS = range(400, 408)
DEEP = range(4000, 4060)
COUNT, DEEP_COUNT = 60, 300


@cache
def known(seed: int) -> tuple[Known, ...]:
    return tuple(fitting(seed, COUNT if seed in SEEDS else DEEP_COUNT))


def plans(seed: int) -> Iterator[tuple[Known, list[Step]]]:
    for each in known(seed):
        yield each, steps(each.answer)


def seeds(test: object) -> object:
    """The plain suite's seeds, and the deep run's."""
    deep = [pytest.param(seed, marks=pytest.mark.deep) for seed in DEEP]
    return pytest.mark.parametrize("seed", [*SEEDS, *deep])(test)


@seeds
def test_it_can_be_worked_and_the_machine_runs_afterwards(seed: int) -> None:
    found = {
        str(each.asked.question): wrong
        for each, plan in plans(seed)
        if (wrong := faults(each.asked.catalogue, each.world, plan))
    }
    assert found == {}


@seeds
def test_nothing_hangs_on_a_condition_when_nothing_is_unknown(seed: int) -> None:
    assert [step for _, plan in plans(seed) for step in plan if step.condition is not None] == []


@seeds
def test_programming_is_needed_exactly_when_a_step_takes_the_tool(seed: int) -> None:
    for each, plan in plans(seed):
        wanted = "needed" if any(step.tool for step in plan) else "none"
        assert each.answer.programming == wanted, plan


@seeds
def test_the_steps_follow_the_familys_order_of_work(seed: int) -> None:
    for each, plan in plans(seed):
        family = each.asked.catalogue["models"][each.world.model]["family"]
        told = each.asked.catalogue["families"][family]["procedures"]
        order = [(procedure["step"], procedure.get("subject", "")) for procedure in told]
        places = [order.index(at(step)) for step in plan]
        assert places == sorted(places)
        for step in plan:
            procedure = told[order.index((step.kind, step.subject))]
            assert step.minutes == tuple(procedure["minutes"])
            assert (step.who, step.tool) == (procedure["who"], procedure.get("tool", False))


def at(step: Step) -> tuple[str, str]:
    """Where in the order a step stands: a new board is read as soon as it is in its place."""
    return ("mount" if step.kind == "read_out" and not step.old else step.kind), step.subject


@seeds
def test_no_step_is_told_twice_and_what_a_free_part_needs_is_told(seed: int) -> None:
    for each, plan in plans(seed):
        assert max(Counter(step.name for step in plan).values(), default=1) == 1
        wanted = needs_of_free_parts(each.asked.catalogue, each.world)
        assert wanted <= {(step.kind, step.place) for step in plan}


@seeds
def test_minutes_add_up(seed: int) -> None:
    for each, plan in plans(seed):
        sums = tuple(sum(step.minutes[end] for step in plan) for end in (0, 1))
        assert each.answer.minutes == (sums if plan else None)


@seeds
def test_what_rests_on_a_claim_is_read_before_anything_is_bound(seed: int) -> None:
    """A board in its box is a claim. One that binds by being switched on can't be read before that."""
    for each, plan in plans(seed):
        kinds = [step.kind for step in plan]
        permanent = [at for at, step in enumerate(plan) if not step.undoable and step.kind != "mount"]
        for place in claimed(each):
            if any(step.tool for step in plan):
                read = [
                    i for i, s in enumerate(plan) if s.kind == "read_out" and s.place == place and not s.old
                ]
                assert len(read) == 1, kinds
                assert all(read[0] < at for at in permanent), kinds


def claimed(known: Known) -> Iterator[str]:
    """The places of proposed boards that name or follow, of whose binding there is a claim alone."""
    policies = {part["number"]: part.get("binding", "free") for part in known.asked.catalogue["parts"]}
    for entry in known.asked.question["boards"]:
        place = entry["role"] + (f".{entry['place']}" if entry.get("place") else "")
        board = known.world.boards[place]
        binds = board is not None and policies[board.part] != "free"
        if binds and "binding" in entry.get("claimed", {}) and "serial" not in entry:
            yield place


@seeds
def test_an_old_board_that_binds_is_read_before_it_comes_out(seed: int) -> None:
    for each, plan in plans(seed):
        if not any(step.tool for step in plan):
            continue
        for step in plan:
            if step.kind == "remove" and always_binds(each, step.place):
                read = ("read_out", step.place, True, "")
                assert read in [earlier.name for earlier in plan[: plan.index(step)]]


def always_binds(known: Known, place: str) -> bool:
    parts = [part for part in known.asked.catalogue["parts"] if part["role"] == role_of(place)]
    return all(part.get("binding", "free") != "free" for part in parts)


@seeds
def test_no_plan_lacks_its_cautions(seed: int) -> None:
    """Common practice, no source; the signal words are of ISO 3864-2 and ANSI Z535."""
    for each, plan in plans(seed):
        codes = {caution.code for caution in each.answer.cautions}
        kinds = {step.kind for step in plan}
        assert "makers_manual_first" in codes
        if kinds & {"remove", "mount"}:
            assert codes >= {"isolate_and_wait_for_blades", "battery_off_before_boards", "static_discharge"}
        if not all(step.undoable for step in plan):
            assert "read_back_before_binding" in codes
        if kinds & {"remove", "mount", "load", "enter_serial", "assign", "introduce"}:
            assert "test_safety_before_return" in codes


def test_enough_of_the_plans_are_interesting() -> None:
    """What the generator makes: all kinds of steps, plans with and without programming, permanent steps."""
    every = [(each, plan) for seed in SEEDS for each, plan in plans(seed)]
    kinds = Counter(step.kind for _, plan in every for step in plan)
    assert len(every) >= 150
    assert {str(kind) for kind in StepKind} - kinds.keys() == {"fit_accessory"}
    loads = Counter(sum(step.kind == "load" for step in plan) for _, plan in every)
    assert min(loads[1], loads[2] + loads[3]) >= 5
    assert min(kinds.values()) >= 5
    assert sum(any(not step.undoable for step in plan) for _, plan in every) >= 60
    assert sum(any(not s.undoable and s.kind == "mount" for s in plan) for _, plan in every) >= 5
    assert sum(each.answer.programming == "none" for each, _ in every) >= 20
    assert sum(any(True for _ in claimed(each)) for each, _ in every) >= 30
