"""What a plan is good for: by hand over the demo's figures, and by the laws that any figures keep.

Watt-hours are volts by ampere-hours (49 CFR 171.8); the limits are those of ADR, special provision 188. No
source was found that works a mower's day.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.catalogue.model import Catalogue
from service.domain.catalogue.upgrades import AccessoryOffer, Conversion, MachineFigures
from service.domain.gains.performance import Gain
from service.domain.gains.shipping import EDITIONS
from service.domain.terms import ModelId
from service.domain.upgrade.gain import PRICED, gain
from service.domain.upgrade.parcels import parcels
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.standing import standings
from service.domain.upgrade.upgrading import found_for
from tests.upgrade.asked import demo, offers, unit

D = Decimal

PLOVER_60 = ModelId("plover-60")
PLOVER_40 = ModelId("plover-40")
DAY = date(2026, 3, 1)


def plan_of(model: str, want: str, amount: int) -> Plan:
    first, *_ = standings(unit(demo(), model, "mainland"))
    return found_for(first, {want: amount}, offers(demo(), "mainland")).plans[0]  # type: ignore[dict-item] # an id is a text here


@pytest.fixture(scope="module")
def second_pack() -> Plan:
    """A second pack for a Plover 60, and nothing else."""
    return plan_of("plover-60", "battery_packs", 2)


def told(of: tuple[Gain, ...]) -> dict[str, tuple[D | None, D | None]]:
    return {each.figure: (each.before, each.after) for each in of}


def with_figures(model: ModelId, **figures: D | None) -> Catalogue:
    """The demo's catalogue with other figures of a model."""
    catalogue = demo().catalogue
    upgrades = catalogue.upgrades
    assert upgrades is not None
    offer = upgrades.models[model]
    changed = replace(offer, performance=replace(offer.performance, **figures))
    models = MappingProxyType({**upgrades.models, model: changed})
    return replace(catalogue, upgrades=replace(upgrades, models=models))


def with_pack(catalogue: Catalogue, name: str = "battery_pack", /, **figures: Any) -> Catalogue:
    """A catalogue with other figures of a pack, or with one more pack."""
    upgrades = catalogue.upgrades
    assert upgrades is not None
    known: AccessoryOffer = upgrades.accessories.get(name, upgrades.accessories["battery_pack"])
    accessories = MappingProxyType({**upgrades.accessories, name: replace(known, **figures)})
    return replace(catalogue, upgrades=replace(upgrades, accessories=accessories))


def test_a_second_pack_by_hand(second_pack: Plan) -> None:
    """21.6 V by 4.5 Ah, 85 % of it used, 90 W drawn, 4 A charged, 0.36 m at 0.5 m/s, 20 hours a day.

    Run: 97.2 x 0.85 x 60 / 90 = 55.08 min. Charge: 4.5 x 0.85 x 60 / 4 = 57.375 min. Together 112.455 min,
    which go 10 times into 1200 min; in the 75.45 min that are left one pack mows 55.08 min. Of two packs a
    cycle has 224.91 min and goes in 5 times; they mow all that is left. 0.36 x 0.5 x 60 = 10.8 m2 a minute.
    """
    found = gain(demo().catalogue, second_pack, {}, D("319.00"))
    assert told(found) == {
        "energy_wh": (D("97.2"), D("194.4")),
        "run_minutes": (D("55.08"), D("110.16")),
        "charge_minutes": (D("57.375"), D("114.75")),
        "mowing_minutes_a_day": (D("605.88"), D("626.25")),
        "cycles_a_day": (D(11), D("626.25") / D("110.16")),
        "area_m2_a_cycle": (D("594.864"), D("1189.728")),
        "area_m2_a_day": (D("6543.504"), D("6763.5")),
    }
    cost = {each.figure: each.cost_for_each for each in found if each.cost_for_each is not None}
    assert cost == {"energy_wh": D(319) / D("97.2"), "area_m2_a_day": D(319) / D("219.996")}


def test_what_is_recorded_counts_and_not_what_is_usual(second_pack: Plan) -> None:
    found = told(gain(demo().catalogue, second_pack, {"battery_pack": 2}, None))
    assert found["energy_wh"] == (D("194.4"), D("291.6"))


def test_a_machine_without_a_pack_has_no_known_figure_before(second_pack: Plan) -> None:
    assert gain(demo().catalogue, second_pack, {"battery_pack": 0}, None) == ()


def test_a_plan_that_buys_no_pack_gains_nothing_and_ships_nothing() -> None:
    plan = plan_of("plover-60", "short_range_link", 1)
    assert (plan.accessories, gain(demo().catalogue, plan, {}, D(99))) == ((), ())
    assert parcels(demo().catalogue, plan, DAY) == ()


def test_a_gain_of_unknown_cost_is_told_without_one(second_pack: Plan) -> None:
    found = gain(demo().catalogue, second_pack, {}, None)
    assert len(found) == 7
    assert [each.cost_for_each for each in found] == [None] * 7


HANGS_ON = {
    "draw_watts": {"energy_wh", "charge_minutes"},
    "usable_share": {"energy_wh"},
    "charge_amps": {"energy_wh", "run_minutes", "area_m2_a_cycle"},
    "cutting_width_m": {
        "energy_wh",
        "run_minutes",
        "charge_minutes",
        "mowing_minutes_a_day",
        "cycles_a_day",
    },
    "allowed_hours": {"energy_wh", "run_minutes", "charge_minutes", "area_m2_a_cycle"},
}
"""Per number of the machine, the figures that are told without it."""
HANGS_ON["speed_m_per_s"] = HANGS_ON["cutting_width_m"]


@pytest.mark.parametrize("missing", [each.name for each in fields(MachineFigures)])
def test_an_unknown_number_leaves_figures_out_and_makes_none_zero(missing: str, second_pack: Plan) -> None:
    found = gain(with_figures(PLOVER_60, **{missing: None}), second_pack, {}, D(319))
    assert told(found).keys() == HANGS_ON[missing]
    assert all(each.before and each.after for each in found)


@pytest.mark.parametrize("missing", ["volts", "amp_hours"])
def test_a_pack_of_unknown_energy_gains_nothing_known_and_has_no_class(
    missing: str, second_pack: Plan
) -> None:
    catalogue = with_pack(demo().catalogue, **{missing: None})
    assert gain(catalogue, second_pack, {}, D(319)) == ()
    assert parcels(catalogue, second_pack, DAY) == ()


def test_packs_of_two_voltages_side_by_side_have_no_known_energy(second_pack: Plan) -> None:
    other = with_pack(demo().catalogue, "old_pack", volts=D(18))
    assert gain(other, second_pack, {"old_pack": 1}, None) == ()
    same = with_pack(demo().catalogue, "old_pack", amp_hours=D(2))
    assert told(gain(same, second_pack, {"old_pack": 1}, None))["energy_wh"] == (D("140.4"), D("237.6"))


def test_of_a_machine_made_another_only_what_both_models_have_alike_is_known(second_pack: Plan) -> None:
    """Plover 40 and 60 cut equally wide and charge alike; they draw and drive differently."""
    made = Conversion(source=PLOVER_40, target=PLOVER_60, price=D(160))
    found = told(gain(demo().catalogue, replace(second_pack, conversion=made), {}, None))
    assert found.keys() == {"energy_wh", "charge_minutes"}
    alike = with_figures(PLOVER_40, draw_watts=D(90))
    found = told(gain(alike, replace(second_pack, conversion=made), {}, None))
    assert found.keys() - {"energy_wh", "charge_minutes"} == {
        "run_minutes",
        "mowing_minutes_a_day",
        "cycles_a_day",
    }


numbers = st.decimals(min_value=D("0.1"), max_value=300, places=2)


@given(
    figures=st.fixed_dictionaries({each.name: numbers for each in fields(MachineFigures)}),
    packs=st.lists(st.integers(min_value=1, max_value=6), min_size=2, max_size=2, unique=True),
    volts=numbers,
    amp_hours=numbers,
    cost=numbers,
)
def test_laws_of_any_figures(
    second_pack: Plan, figures: dict[str, D], packs: list[int], volts: D, amp_hours: D, cost: D
) -> None:
    """More energy mows longer on one charge; no day has more than 24 hours, nor more than are allowed; what
    each unit costs comes to the whole cost again."""
    hours = figures["allowed_hours"] * 24 / 300
    share = figures["usable_share"] / 300
    machine = with_figures(PLOVER_60, **{**figures, "usable_share": share, "allowed_hours": hours})
    catalogue = with_pack(machine, volts=volts, amp_hours=amp_hours)
    fewer, more = sorted(packs)
    plan = replace(second_pack, accessories=(("battery_pack", more - fewer),))
    found = {each.figure: each for each in gain(catalogue, plan, {"battery_pack": fewer}, cost)}
    for name in ("energy_wh", "run_minutes", "area_m2_a_cycle"):
        assert more_of(found[name]) > 0
    if "mowing_minutes_a_day" in found:
        day = found["mowing_minutes_a_day"]
        assert max(day.before or 0, day.after or 0) <= min(D(1440), hours * 60 + D("1e-20"))
    for name, each in found.items():
        assert (each.cost_for_each is not None) == (name in PRICED and more_of(each) > 0)
        if each.cost_for_each is not None:
            assert abs(each.cost_for_each * more_of(each) - cost) < D("1e-20")


def more_of(of: Gain) -> D:
    assert of.more is not None
    return of.more


@pytest.mark.parametrize(
    ("volts", "amp_hours", "cell", "wanted"),
    [
        ("21.6", "4.5", "16.2", "eased"),
        ("20", "5", "18", "eased"),
        ("20", "5.01", "18", "full"),
        ("18.5", "5.41", None, "full"),
        ("18.5", "5.4", None, None),
        ("18.5", "5.4", "20.017", "full"),
    ],
)
def test_the_class_of_packs_that_are_bought(
    volts: str, amp_hours: str, cell: str | None, wanted: str | None, second_pack: Plan
) -> None:
    """20 V by 5 Ah is the limit itself."""
    each = None if cell is None else D(cell)
    catalogue = with_pack(demo().catalogue, volts=D(volts), amp_hours=D(amp_hours), cell_watt_hours=each)
    (parcel,) = parcels(catalogue, second_pack, DAY)
    assert (parcel.accessory, parcel.amount, parcel.shipping.un_number) == ("battery_pack", 1, "UN3480")
    assert parcel.shipping.shipping_class == wanted
    assert parcel.shipping.edition == EDITIONS[0]


def test_before_the_first_edition_no_class_is_told(second_pack: Plan) -> None:
    (parcel,) = parcels(demo().catalogue, second_pack, date(2024, 12, 31))
    assert (parcel.shipping.shipping_class, parcel.shipping.edition) == (None, None)
