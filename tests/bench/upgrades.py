"""What an upgrade plan costs: 8, 12 and 16 boards, and against a general solver where it is installed."""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable, Iterator
from fractions import Fraction
from importlib.util import find_spec
from statistics import median
from typing import Any, TypeVar

from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.terms import Condition, Holds, MarketId, ModelId, Serial
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed, Approach
from service.domain.upgrade.choosing import cheapest
from service.domain.upgrade.framing import frame
from service.domain.upgrade.offers import Offers, StockBoard
from service.domain.upgrade.options import Options
from service.domain.upgrade.plans import Plan, best_plan
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.task import Task
from service.papers import read_catalogue

SIZES = ((8, 1000), (12, 1000), (16, 1000))
"""Boards, and instances."""
CATALOGUES = 20
AGAINST_SOLVER = 200
HOME, MODEL = MarketId("home"), ModelId("m1")
T = TypeVar("T")


def upgrade_plans() -> Iterator[str]:
    """The cheapest plan of a machine that is to do more, framed, chosen and ordered anew; one core."""
    for boards, count in SIZES:
        seconds, found = zip(*(_timed(_plan, asked) for asked in instances(boards, count)), strict=True)
        possible = sum(plan is not None for plan in found)
        yield (
            f"{boards} boards, {count} instances, {possible} with a plan: "
            f"median {median(seconds) * 1e3:.1f} ms, worst {max(seconds) * 1e3:.1f} ms"
        )
    yield from _against_solver() if find_spec("ortools") else ["no solver installed to compare with"]


def _plan(asked: Aim) -> Plan | None:
    return best_plan(Options(asked), Approach.OTHER_BOARDS)


def instances(boards: int, count: int) -> Iterator[Aim]:
    """Machines of random catalogues with random wants, some of them with boards in stock."""
    for number in range(CATALOGUES):
        rng = random.Random(1000 * boards + number)
        compiled = compile_catalogue(read_catalogue(json.dumps(document(rng, boards))))
        for _ in range(count // CATALOGUES):
            yield _asked(rng, compiled)


def document(rng: random.Random, boards: int) -> dict[str, Any]:
    """A model as they are built: a board that names it, a panel, the others free, one of them twice."""
    roles = ["main", "panel", *(f"free{at}" for at in range(boards - 3))]
    features = {f"{role}_{letter}": role for role in roles for letter in "ab"}
    procedures = [
        {"step": step, "who": "dealer", "minutes": [5, rng.choice((5, 10, 15))], **TOOL.get(step, {})}
        for step in ("read_out", "remove", "mount", "load", "enter_serial", "assign", "introduce",
                     "calibrate", "self_test")
    ]  # fmt: skip
    terms = {"tax": {"rate": "20", "prices": "included"}, "receipt": "-", "returns": "-"}
    return {
        "format": 1,
        "maker": "Nobody",
        "dealer": "No Shop",
        "currency": "EUR",
        "markets": {HOME: "Home"},
        "features": features,
        "roles": {role: _role(role) for role in roles},
        "capabilities": {
            f"can_{feature}": {
                "name": feature,
                "kind": "switch",
                "hardware": [{"role": role, "feature": feature}],
                **({"releases": {"main": "2.0"}} if rng.random() < 0.2 else {}),
            }
            for feature, role in features.items()
        },
        "families": {
            "fam": {"name": "Family", "procedures": procedures, "free_part_needs": {"free0": ["calibrate"]}}
        },
        "models": {
            MODEL: {
                "name": "Model",
                "family": "fam",
                "roles": {role: {} for role in roles},
                "allows": {f"can_{feature}": {"amount": 1} for feature in features},
            }
        },
        "parts": [part for role in roles for part in _parts(rng, role)],
        "sale": {
            "valid_days": 30,
            "markets": {HOME: {**terms, "programming_fee": "40.00", "labour_per_hour": "85.00"}},
        },
    }


TOOL = {step: {"tool": True} for step in ("read_out", "load", "enter_serial", "assign", "introduce")}
BINDING = {"main": "names", "panel": "follows"}


def _role(role: str) -> dict[str, Any]:
    carries = {"releases": ["1.0", "2.0"]} if role in BINDING else {}
    twice = {"places": ["left", "right"]} if role == "free0" else {}
    return {"name": role, **carries, **twice}


def _parts(rng: random.Random, role: str) -> Iterator[dict[str, Any]]:
    """Four of each role, with neither feature, one of them, the other, or both."""
    for at, letters in enumerate(("", "a", "b", "ab")):
        yield {
            "number": f"{role.upper()}-{at}",
            "name": role,
            "role": role,
            "binding": BINDING.get(role, "free"),
            "features": {f"{role}_{letter}": 1 for letter in letters},
            "fits": [{"models": [MODEL]}],
            "price": f"{rng.randint(10, 300)}.00",
            **({"release": rng.choice(("1.0", "2.0"))} if role in BINDING else {}),
        }


def _asked(rng: random.Random, compiled: CompiledCatalogue) -> Aim:
    hub = compiled.models[MODEL].hub(0, 0, HOME)
    capabilities = rng.sample(sorted(compiled.catalogue.capabilities), rng.randint(1, 4))
    standing = Standing(
        hub=hub,
        boards={place: _board(rng, hub, place) for place in hub.places},
        releases={place: rng.randint(0, 1) for place in hub.places if place.role in BINDING},
        read=frozenset(place for place in hub.places if rng.random() < 0.5),
        accessories={},
        facts={},
    )
    sale = compiled.catalogue.sale
    assert sale is not None
    stock = {role: _stock(rng, compiled, role) for role in hub.roles}
    offered = Offers(terms=sale.terms[HOME], stock=stock)
    return Aim(standing=standing, hub=hub, wanted=dict.fromkeys(capabilities, 1), offers=offered)


def _board(rng: random.Random, hub: Hub, place: Place) -> Board:
    part = rng.choice(hub.compiled.parts_of_role[place.role])
    binds = place.role in BINDING
    holds = Holds.THIS_UNIT if place.role == "main" else Holds.NOTHING
    return Board(place, part, MODEL if binds else None, holds, Condition.USABLE, binds, False, True)


def _stock(rng: random.Random, compiled: CompiledCatalogue, role: Any) -> list[StockBoard]:
    used = rng.choices(compiled.parts_of_role[role], k=rng.randint(0, 2))
    return [
        StockBoard(
            serial=Serial(f"{role}{at}"),
            part=part,
            binding=MODEL if role in BINDING else None,
            holds=Holds.IDLE if role == "main" else Holds.NOTHING,
            release=rng.randint(0, 1) if role in BINDING else None,
            price=compiled.catalogue.parts[part].price or 0,  # type: ignore[arg-type] # all have one
            used=True,
        )
        for at, part in enumerate(used)
    ]


def _timed(work: Callable[[Any], T], given: Any) -> tuple[float, T]:
    start = time.process_time()
    result = work(given)
    return time.process_time() - start, result


def _tasks(asked: Aim) -> list[Task]:
    options = Options(asked)
    return [frame(options, Allowed(), session=session).task for session in (False, True)]


def _against_solver() -> Iterator[str]:
    """In turns on the same instances, one worker each. The solver makes money least, and has neither to weigh
    what lasts, nor to settle ties, nor to tell the steps; both must come to the same money."""
    from tests.bench.upgrades_solver import Whole, least_money  # noqa: PLC0415 - the solver is no part of any extra

    yield "whole questions: ours from the question to the plan in order, CP-SAT's from the same question"
    for boards in (8, 12, 16):
        pairs = []
        for asked in instances(boards, AGAINST_SOLVER):
            seconds, plan = _timed(_plan, asked)
            spent, found = _timed(lambda each: Whole(each).least_money(), asked)
            assert found.money == (plan.burden.money if plan else None), "the solver disagrees"
            pairs.append((seconds, spent, found.solving))
        yield f"{boards} boards, {_compared(pairs)}"
    yield "the choice alone, of options that we framed for both"
    for boards in (8, 12, 16):
        pairs = []
        for task in (task for asked in instances(boards, AGAINST_SOLVER) for task in _tasks(asked)):
            seconds, choice = _timed(cheapest, task)
            spent, found = _timed(least_money, task)
            assert found.money == (choice.burden.money if choice else None), "the solver disagrees"
            pairs.append((seconds, spent, found.solving))
        yield f"{boards} boards, {_compared(pairs)}"


def _compared(pairs: list[tuple[float, float, float]]) -> str:
    ours, theirs, solving = (median(each) * 1e3 for each in zip(*pairs, strict=True))
    return (
        f"{len(pairs)}: {ours:.2f} ms; CP-SAT {theirs:.2f} ms with making the model, {theirs / ours:.1f} "
        f"times, {solving:.2f} ms without, {solving / ours:.1f} times"
    )


def money_unit(task: Task) -> int:
    """What turns all money of a task into whole numbers."""
    burdens = [*task.shared.values(), *(option.burden for block in task.blocks for option in block)]
    unit = 1
    for each in burdens:
        unit *= Fraction(each.money * unit).denominator
    return unit
