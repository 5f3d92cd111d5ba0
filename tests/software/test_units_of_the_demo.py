"""Every machine of the demo's catalogue, with every release on its boards: the loads are those of a graph
library, and an independent checker lets them pass. Its conditions are read from the file by other means."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import product
from typing import Any

import pytest
import yaml

from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.question import Question, StatedUnit
from service.domain.loading.courses import MOST_ALIKE, Goal
from service.domain.loading.planning import Loading, LoadingOutcome, loading
from service.domain.place import Place
from service.domain.software.ranges import exactly
from service.domain.software.task import Aim
from service.domain.software.versions import parse_version
from service.domain.terms import Cause, ModelId, RoleId
from service.papers import read_catalogue
from tests.oracles.software_cases import Instance, PlainRelease
from tests.oracles.software_checker import faults
from tests.oracles.software_graph import StateGraph
from tests.papers.documents import CATALOGUES, as_data, as_text
from tests.support.cases import case_of

TOLD: Mapping[str, Any] = yaml.safe_load(demo_catalogue())
COVERED = [
    model
    for model in TOLD["models"]
    if TOLD["families"][TOLD["models"][model]["family"]].get("covered", True)
]
CARRYING = [role for role, told in TOLD["roles"].items() if "releases" in told]
NOTHING: Mapping[str, str] = {}
OLDEST = {"main": "1.0.0", "panel": "1.0.0"}


@cache
def compiled(name: str) -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(CATALOGUES[name]))


def plain(role: str) -> tuple[PlainRelease, ...]:
    """The releases of a role as the file tells them, each range as the versions that lie in it."""
    listed = [
        each if isinstance(each, dict) else {"version": each} for each in TOLD["roles"][role]["releases"]
    ]
    return tuple(
        PlainRelease(
            version=each["version"],
            needs={other: (within(other, span), False) for other, span in each.get("needs", {}).items()},
            loads_from=within(role, each["loads_from"]) if "loads_from" in each else None,
        )
        for each in listed
    )


def within(role: str, span: str) -> tuple[str, ...]:
    """The demo knows one kind of range: from a version on."""
    assert span.startswith(">=")
    names = [each["version"] if isinstance(each, dict) else each for each in TOLD["roles"][role]["releases"]]
    return tuple(name for name in names if numbers(name) >= numbers(span[2:]))


def numbers(version: str) -> tuple[int, ...]:
    return tuple(map(int, version.split(".")))


def planned(
    model: str, on: Mapping[str, str], aim: Aim = Aim.NEWEST, wanted: Mapping[str, str] = NOTHING
) -> Loading:
    """What the service plans for a machine of which the model is known and what is on its boards."""
    case = case_of(compiled("demo"), Question(unit=StatedUnit(model=ModelId(model))))
    stated = {Place(RoleId(role)): frozenset((parse_version(name),)) for role, name in on.items()}
    goal = Goal(aim=aim, wanted={RoleId(role): exactly(parse_version(name)) for role, name in wanted.items()})
    return loading(compiled("demo"), case, goal, stated)


def every_start(model: str) -> list[tuple[Instance, dict[str, str]]]:
    roles = [role for role in CARRYING if role in TOLD["models"][model]["roles"]]
    releases = {role: plain(role) for role in roles}
    starts = product(*([each.version for each in releases[role]] for role in roles))
    return [
        (
            Instance(
                roles=tuple(roles),
                releases=releases,
                places=tuple((role, role, "") for role in roles),
                carries=start,
                wanted={},
                model=model,
            ),
            dict(zip(roles, start, strict=True)),
        )
        for start in starts
    ]


@pytest.mark.parametrize("model", COVERED)
def test_the_loads_are_those_of_the_graph(model: str) -> None:
    found = every_start(model)
    for instance, on in found:
        for aim in Aim:
            answer = planned(model, on, aim)
            loads = [(str(load.place.role), str(load.version)) for load in answer.loads]
            graph = StateGraph(instance)
            assert loads == (graph.newest() if aim is Aim.NEWEST else graph.least()), on
            assert faults(instance, loads) == []
            assert (answer.outcome is LoadingOutcome.NOTHING_TO_DO) is (loads == [])
    assert len(found) >= 9


def test_a_machine_is_never_loaded_with_what_it_has_no_board_for() -> None:
    answer = planned("wren-8", OLDEST)
    assert {load.place.role for load in answer.loads} == {"main", "panel"}


def test_what_rules_a_set_out_names_each_fact_once() -> None:
    answer = planned("wren-8", OLDEST, wanted={"main": "2.0.0", "panel": "1.0.0"})
    assert answer.outcome is LoadingOutcome.NO_PLAN
    assert len(set(answer.why_not)) == len(answer.why_not) == 3
    for lifted in ("main", "panel"):
        rest = {role: name for role, name in (("main", "2.0.0"), ("panel", "1.0.0")) if role != lifted}
        assert planned("wren-8", OLDEST, wanted=rest).outcome is LoadingOutcome.PLANNED


@pytest.mark.parametrize("name", ["trade practice", "second maker", "small"])
def test_releases_that_are_names_alone_are_left_out_and_it_is_said(name: str) -> None:
    """Nobody knows which of them go together."""
    catalogue = compiled(name)
    case = case_of(catalogue, Question(unit=StatedUnit(model=covered(catalogue))))
    answer = loading(catalogue, case, Goal(aim=Aim.NEWEST, wanted={}), {})
    carrying = {role for role, told in catalogue.catalogue.roles.items() if told.releases}
    assert catalogue.catalogue.software.releases == {}
    assert (answer.outcome, answer.cause) == (LoadingOutcome.CANNOT_TELL, Cause.OUT_OF_SCOPE)
    assert set(answer.left_out) == carrying & set(catalogue.models[case.facts.hubs[0].model.id].model.roles)
    assert answer.left_out


def covered(catalogue: CompiledCatalogue) -> ModelId:
    carrying = {role for role, told in catalogue.catalogue.roles.items() if told.releases}
    return next(name for name, each in catalogue.models.items() if carrying & set(each.model.roles))


def test_the_bound_is_told() -> None:
    """More models with software of their own than are planned for; which it is, is not said."""
    document = as_data(CATALOGUES["small"])
    models = [f"ant-{at}" for at in range(MOST_ALIKE + 1)]
    document["models"] |= {name: {**document["models"]["ant"], "name": name} for name in models}
    document["parts"][0]["fits"] += [{"models": models}]
    document["parts"][1]["fits"] += [{"models": models}]
    document["roles"]["panel"]["releases"] = [
        {"version": f"1.0.{at}", "models": models[: at + 1]} for at in range(len(models))
    ]
    catalogue = compile_catalogue(read_catalogue(as_text(document)))
    case = case_of(catalogue, Question())
    answer = loading(catalogue, case, Goal(aim=Aim.NEWEST, wanted={}), {})
    assert (answer.outcome, answer.cause) == (LoadingOutcome.CANNOT_TELL, Cause.BOUND_EXCEEDED)
    one = case_of(catalogue, Question(unit=StatedUnit(model=ModelId(models[-1]))))
    known = {Place(RoleId("panel")): frozenset((parse_version("1.0.0"),))}
    assert loading(catalogue, one, Goal(aim=Aim.NEWEST, wanted={}), known).outcome is LoadingOutcome.PLANNED
