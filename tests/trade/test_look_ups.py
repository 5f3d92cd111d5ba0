"""Every case of a part look-up is answered as its file says."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from service.domain.facts.identity import unit_facts
from service.domain.facts.question import Question, StatedUnit
from service.domain.parts.chain import current
from service.domain.parts.for_unit import parts_of_unit
from service.domain.parts.functions import Function, Shared
from service.domain.parts.listed import listed_for
from service.domain.terms import PartNumber
from service.usecases.catalogue import find_parts
from service.usecases.mending import Refused
from tests.trade.case_files import Case, parameters


def found(case: Case) -> dict[str, Any]:
    """What the shop's papers say to a look-up; for a unit only the parts that it takes."""
    wanted = dict(case.given["look_up"])
    unit = wanted.pop("unit", None)
    try:
        answer = find_parts(case.shop.compiled, **wanted)
    except Refused as refused:
        return {"refused": ["/".join(map(str, fault.path)) for fault in refused.faults]}
    numbers = [part.number for part in answer.parts]
    taken = of_unit(case, unit) if unit else dict.fromkeys(numbers, True)
    return {
        "parts": [number for number in numbers if taken.get(number)],
        "perhaps": [number for number in numbers if taken.get(number) is False],
        "models": {number: models(case, number) for number in numbers},
        "current": {number: list(current(case.shop.compiled.catalogue, number)) for number in numbers},
        "functions": [f"{function.id} {function.role}" for function in answer.functions],
        "look_first": look_first(answer.functions, answer.shared),
    }


def of_unit(case: Case, serial: str) -> Mapping[str, bool]:
    """The parts that a unit takes, and whether surely."""
    stated = StatedUnit(serial=serial)
    records = case.shop.records(Question(unit=stated), case.given.get("events", ()))
    record = next(iter(records.units.values()), None)
    facts = unit_facts(case.shop.compiled, stated, record)
    return {each.part.number: each.certain for each in parts_of_unit(case.shop.compiled, facts)}


def models(case: Case, number: PartNumber) -> list[str]:
    return list(dict.fromkeys(row.model for row in listed_for(case.shop.compiled, number)))


def look_first(functions: tuple[Function, ...], shared: Shared | None) -> list[str | None]:
    """The board to look at first, and the cable into it: what is shared, or else the only board at fault."""
    if shared:
        return [shared.role, shared.cable]
    roles = {function.role for function in functions}
    return [*roles, None] if len(roles) == 1 else []


@pytest.mark.parametrize("case", parameters("look_up"))
def test_it_is_looked_up_as_the_counter_would(case: Case) -> None:
    said = found(case)
    assert case.expect
    assert {name: said.get(name) for name in case.expect} == case.expect
