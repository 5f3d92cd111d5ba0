"""What a step hangs on is what it hangs on: learn the facts, and the plan is the one that was told.

A world that fits is stated whole, and again with some facts left out, so that it is one of several that are
still possible. Its own plan has no step that was not told of, every step that was told without a condition,
and those with a condition exactly where it holds. Reading boards out and erasing is left aside here:
they go with any use of the tool, and a new board is read while nobody has read or recorded it, which is what
was left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from random import Random

import pytest

from tests.oracles import plain_serials
from tests.oracles.catalogues import NAMING
from tests.oracles.plain_rules import PlainRules
from tests.oracles.plain_software import PlainSoftware
from tests.oracles.questions import Asked, forgettable, forgotten
from tests.oracles.world import BLANK, UNBOUND, World, role_of
from tests.steps.plans import Known, Step, answered, fitting, steps

SEEDS, DEEP = range(500, 506), range(5000, 5060)


def plan(found: list[Step]) -> dict[object, Step]:
    return {step.name: step for step in found if step.kind not in ("read_out", "erase_owner_data")}


def less(rng: Random, known: Known) -> Asked:
    """The question with one fact of a board left out, or several; nothing is assumed instead."""
    asked = known.asked.copy()
    asked.question["assume"] = "nothing"
    for _ in range(rng.choice([1, 1, 2, 3])):
        facts = [fact for fact in forgettable(asked) if open_when_left_out(known.world, fact)]
        if facts and rng.random() < 0.5:
            asked = forgotten(asked, rng.choice(facts), rng)
        else:
            tried_elsewhere(rng, asked, known.world)
    return asked


def open_when_left_out(world: World, fact: str) -> bool:
    """Of a pair that is put together, nothing said is "not introduced"; of a board, that it is usable."""
    place, _, name = fact.rpartition(".")
    proposed = {role_of(each) for each, board in world.boards.items() if board and board.proposed}
    if name == "introduced":
        return proposed.isdisjoint({role_of(place), *NAMING})
    return name in ("part", "binding", "holds")


def tried_elsewhere(rng: Random, asked: Asked, world: World) -> None:
    """Let the ledger know no more of some board than that it is blank or of the unit's model."""
    entries = [*asked.question["boards"], *asked.unit["boards"]]
    there = [each for each in entries if "part" in each and {"claimed", "read"} & each.keys()]
    if there:
        entry = rng.choice(there)
        serial = f"{plain_serials.BOARD_PREFIX}{80_000 + len(asked.records['boards'])}"
        record = {"part": entry.pop("part"), "binding": {"values": sorted({BLANK, world.model})}}
        asked.records["boards"][serial] = record
        entry["serial"] = serial
        for said in (entry.get("claimed", {}), entry.pop("read", {})):
            for name in ("binding", "bound_model", "holds"):
                said.pop(name, None)


def value(world: World, fact: str) -> str | None:
    """The value of a fact in the world, none of those told for what a board that binds nothing does not have;
    None where the world does not say it in these words."""
    place, _, name = fact.rpartition(".")
    board = world.boards.get(place)
    if board is None or board.introduced == "moved_pair":
        return None
    if board.binding == UNBOUND and name in ("binding", "introduced"):
        return UNBOUND
    return {
        "part": board.part,
        "binding": board.binding,
        "introduced": board.introduced,
        "condition": board.condition,
    }.get(name)


def faults(wide: dict[object, Step], narrow: dict[object, Step], world: World) -> Iterator[str]:
    """Where the plan of the world is not the one that was told before."""
    for name in narrow.keys() - wide.keys():
        yield f"{name} was not told of"
    for name, step in wide.items():
        if step.condition is None and name not in narrow:
            yield f"{name} was told to be done in any case"
        if step.condition is not None:
            there = value(world, step.condition[0])
            if there is not None and step.condition[1] and (there in step.condition[1]) != (name in narrow):
                yield f"{name} hangs on {step.condition}"


def goes_together(known: Known) -> bool:
    """Whether nothing has to be loaded in the world."""
    rules = PlainRules(known.asked.catalogue, {})
    groups = rules.joined(known.world, rules.roles(known.world.model, known.world.market))
    return all(rules.software.loads(known.world.model, boards) == 0 for boards in groups)


def runs_as_it_is(known: Known) -> bool:
    """Whether every board carries what may be on a board of its part."""
    software = PlainSoftware(known.asked.catalogue)
    there = ((p, board) for p, board in known.world.boards.items() if role_of(p) in software.releases)
    return all(board is None or board.release in software.runs_on(p, board.part) for p, board in there)


def told(asked: Asked, fact: str) -> int:
    """Of how many boards a question and its records tell the release, or the part."""
    entries = [*asked.question["boards"], *asked.unit["boards"], *asked.records["boards"].values()]
    words = (word for entry in entries for word in (entry, entry.get("claimed", {}), entry.get("read", {})))
    return sum(fact in word for word in words)


def is_one_of_its_worlds(known: Known, asked: Asked) -> bool:
    """Whether the world is one of those that the question with less leaves possible: what nobody knows of the
    software is taken to go together, a board of unknown part to be one that runs what is on it, and a naming
    board that stays to hold the unit's own serial."""
    if told(asked, "holds") < told(known.asked, "holds") and others_serial_stays(known.world):
        return False
    releases = goes_together(known) or told(asked, "release") == told(known.asked, "release")
    return releases and (runs_as_it_is(known) or told(asked, "part") == told(known.asked, "part"))


def others_serial_stays(world: World) -> bool:
    boards = (board for board in world.boards.values() if board is not None and not board.proposed)
    return any(board.holds in ("idle", "in_service") for board in boards)


@cache
def learnt(seed: int, count: int) -> tuple[tuple[bool, tuple[str, ...]], ...]:
    """For each question that fits with less known too: whether some step hangs on a fact, and the faults."""
    rng, found = Random(seed), []
    for known in fitting(seed, count):
        asked = less(rng, known)
        answer = answered(asked)
        if not is_one_of_its_worlds(known, asked):
            continue
        if answer.fit == "yes" and "this_unit" not in {b.holds for b in known.world.boards.values() if b}:
            known.asked.question["assume"] = "nothing"
            wide, narrow = plan(steps(answer)), plan(steps(answered(known.asked)))
            wrong = [
                f"{each}: {asked.question} {asked.records}" for each in faults(wide, narrow, known.world)
            ]
            found.append((any(step.condition for step in wide.values()), tuple(wrong)))
    return tuple(found)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_learnt_fact_gives_the_plan_that_was_told(seed: int) -> None:
    assert [fault for _, wrong in learnt(seed, 120) for fault in wrong] == []


@pytest.mark.deep
@pytest.mark.parametrize("seed", DEEP)
def test_a_learnt_fact_gives_the_plan_that_was_told_deep(seed: int) -> None:
    assert [fault for _, wrong in learnt(seed, 400) for fault in wrong] == []


def test_enough_plans_hang_on_a_fact() -> None:
    hanging = [hangs for seed in SEEDS for hangs, _ in learnt(seed, 120)]
    assert len(hanging) >= 60
    assert sum(hanging) >= 10
