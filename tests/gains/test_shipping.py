"""The shipping class of a pack by its watt-hours.

Source of the limits: ADR, special provision 188, items a and b (lithium-ion cell at most 20 Wh, battery at
most 100 Wh), read in the Swedish text; UN numbers and the other provisions from memory.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from service.domain.gains.figures import energy_wh
from service.domain.gains.shipping import EDITIONS, Condition, Packing, ShippingClass, shipping

DAY = date(2026, 3, 1)
SMALL_CELL = Decimal(10)
EASED, FULL = ShippingClass.EASED, ShippingClass.FULL

BATTERIES = (
    ("18.5", "5.4", EASED),
    ("20", "5", EASED),
    ("18.5", "5.41", FULL),
    ("20", "5.01", FULL),
    ("36", "2.7", EASED),
    ("36", "2.8", FULL),
    ("25.2", "4", FULL),
    ("14.4", "6.9", EASED),
    ("14.4", "7", FULL),
)
CELLS = (("3.6", "5.5", EASED), ("3.7", "5.4", EASED), ("3.6", "5.56", FULL), ("3.7", "5.41", FULL))
"""Volts and ampere-hours round about the limits; 20 V by 5 Ah is the limit itself."""


@pytest.mark.parametrize(("volts", "amp_hours", "wanted"), BATTERIES)
def test_a_battery_is_eased_up_to_its_limit(volts: str, amp_hours: str, wanted: ShippingClass) -> None:
    energy = energy_wh(Decimal(volts), Decimal(amp_hours))
    found = shipping(day=DAY, packing=Packing.ALONE, battery_wh=energy, cell_wh=SMALL_CELL)
    assert found.shipping_class is wanted


@pytest.mark.parametrize(("volts", "amp_hours", "wanted"), CELLS)
def test_so_is_a_cell(volts: str, amp_hours: str, wanted: ShippingClass) -> None:
    energy = energy_wh(Decimal(volts), Decimal(amp_hours))
    found = shipping(day=DAY, packing=Packing.ALONE, battery_wh=Decimal(90), cell_wh=energy)
    assert found.shipping_class is wanted


@pytest.mark.parametrize(
    ("battery", "cell", "wanted"),
    [(None, None, None), (None, "10", None), ("90", None, None), ("200", None, FULL), (None, "21", FULL)],
)
def test_unknown_watt_hours_are_unknown_unless_a_limit_is_passed_anyway(
    battery: str | None, cell: str | None, wanted: ShippingClass | None
) -> None:
    energy, each = (None if text is None else Decimal(text) for text in (battery, cell))
    found = shipping(day=DAY, packing=Packing.ALONE, battery_wh=energy, cell_wh=each)
    assert found.shipping_class is wanted


def test_the_un_number_tells_packs_alone_from_those_with_a_machine() -> None:
    assert {packing: shipping(day=DAY, packing=packing).un_number for packing in Packing} == {
        Packing.ALONE: "UN3480",
        Packing.WITH_EQUIPMENT: "UN3481",
        Packing.IN_EQUIPMENT: "UN3481",
    }


@pytest.mark.parametrize(
    ("condition", "wanted"),
    [
        (Condition.DAMAGED, ShippingClass.DAMAGED),
        (Condition.FOR_RECYCLING, ShippingClass.FOR_RECYCLING),
    ],
)
def test_a_pack_that_is_not_sound_is_never_eased(condition: Condition, wanted: ShippingClass) -> None:
    found = shipping(
        day=DAY, packing=Packing.ALONE, condition=condition, battery_wh=Decimal(50), cell_wh=SMALL_CELL
    )
    assert found.shipping_class is wanted


def test_an_answer_names_the_edition_in_force_on_its_day() -> None:
    first = EDITIONS[0].in_force_from
    found = shipping(day=first, packing=Packing.ALONE, battery_wh=Decimal(50), cell_wh=SMALL_CELL)
    assert found.edition == EDITIONS[0]
    assert found.edition.source
    assert list(EDITIONS) == sorted(EDITIONS, key=lambda edition: edition.in_force_from)


def test_before_the_first_edition_nothing_is_known() -> None:
    day = date(EDITIONS[0].in_force_from.year - 1, 12, 31)
    found = shipping(day=day, packing=Packing.ALONE, battery_wh=Decimal(50), cell_wh=SMALL_CELL)
    assert (found.shipping_class, found.edition) == (None, None)
