"""The parts of one unit: certain exactly where every unit that it may be takes them."""

from __future__ import annotations

from datetime import date

import pytest

from service.demo import serials as s
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.identity import unit_facts
from service.domain.facts.question import StatedUnit
from service.domain.parts.for_unit import parts_of_unit
from service.domain.parts.functions import by_name, functions, shared_connection
from service.domain.parts.numbers import by_number, folded
from service.domain.terms import MarketId, ModelId, RoleId
from service.papers import read_catalogue


@pytest.fixture(scope="module")
def compiled() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


def certain(compiled: CompiledCatalogue, stated: StatedUnit, role: str) -> dict[str, bool]:
    found = parts_of_unit(compiled, unit_facts(compiled, stated, None))
    return {each.part.number: each.certain for each in found if each.part.role == role}


UNITS = [
    (StatedUnit(model=ModelId("plover-40")), "lift", {"LF-7100": False, "LF-7200": False}),
    (StatedUnit(serial=s.CUSTOMER_PLOVER_40), "lift", {"LF-7100": True}),
    (StatedUnit(model=ModelId("plover-40")), "rain", {"RN-8100": False, "RN-8200": False}),
    (StatedUnit(model=ModelId("plover-40"), made_on=date(2023, 9, 3)), "rain", {"RN-8100": True}),
    (StatedUnit(model=ModelId("plover-40"), made_on=date(2023, 9, 4)), "rain", {"RN-8200": True}),
    (StatedUnit(model=ModelId("curlew-12")), "radio", {"RD-5100": False, "RD-5200": False}),
    (StatedUnit(model=ModelId("curlew-12"), market=MarketId("isles")), "radio", {"RD-5200": True}),
    (StatedUnit(model=ModelId("rail-1")), "main", {}),
    (StatedUnit(model=ModelId("wren-4")), "lamp", {}),
    # Any machine of a covered family has the main board; one of the rental generation takes none we know.
    (StatedUnit(), "main", {"MN-4100": False}),
]


@pytest.mark.parametrize(("stated", "role", "expected"), UNITS)
def test_what_is_known_of_the_unit_decides(
    compiled: CompiledCatalogue, stated: StatedUnit, role: str, expected: dict[str, bool]
) -> None:
    assert certain(compiled, stated, role) == expected


def test_a_certain_part_is_listed_in_every_case_and_another_in_some(compiled: CompiledCatalogue) -> None:
    for model in compiled.models:
        unit = unit_facts(compiled, StatedUnit(model=model), None)
        hubs = unit.hubs
        for each in parts_of_unit(compiled, unit):
            takers = [hub for hub in hubs if hub.lists(each.part.number) and hub.sells(each.part.number)]
            assert each.certain == (len(takers) == len(hubs))
            assert takers


@pytest.mark.parametrize(
    ("roles", "shared"),
    [
        (["lift"], None),
        (["lift", "lift"], None),
        (["lift", "rain"], ("panel", "ribbon cable")),
        (["lift", "rain", "panel"], ("panel", "ribbon cable")),
        (["lift", "lamp"], ("panel", None)),
        (["lift", "main"], ("main", "ribbon cable")),
        (["position", "radio"], ("main", "dome cable")),
        (["position", "lift"], ("main", None)),
        (["panel", "main"], ("main", "ribbon cable")),
    ],
)
def test_faults_in_common_name_the_nearest_board_and_its_cable(
    compiled: CompiledCatalogue, roles: list[str], shared: tuple[str, str | None] | None
) -> None:
    found = shared_connection(compiled.catalogue, [RoleId(role) for role in roles])
    assert (found and (found.role, found.cable)) == shared
    turned = shared_connection(compiled.catalogue, [RoleId(role) for role in reversed(roles)])
    assert turned == found


def test_a_function_is_found_by_its_id_and_by_its_name(compiled: CompiledCatalogue) -> None:
    for function in functions(compiled.catalogue):
        assert function in by_name(compiled.catalogue, function.id.upper())
        assert function in by_name(compiled.catalogue, f" {function.name}  ")
    assert by_name(compiled.catalogue, "") == ()


def test_an_order_number_goes_before_a_printed_one(compiled: CompiledCatalogue) -> None:
    for part in compiled.catalogue.parts.values():
        assert by_number(compiled.catalogue, part.number.lower().replace("-", " ")) == (part,)
        for printed in part.printed:
            assert part in by_number(compiled.catalogue, printed)
    assert by_number(compiled.catalogue, "-") == ()
    assert folded("Kx7-04 12/a.") == "kx70412a"
