"""Energy, time and area against published examples, by hand, and by the laws that any such figures keep."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal, localcontext
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.gains import figures
from service.domain.gains.performance import Equipment, Performance, gains, performance

D = Decimal

EQUIPMENT = Equipment(
    volts=D("18"),
    amp_hours=D("5"),
    usable_share=D(1),
    mean_draw_w=D("30"),
    charge_amps=D("2.5"),
    cutting_width_m=D("0.22"),
    speed_m_a_second=D("0.4"),
)
"""An invented machine: 90 Wh at 30 W."""

WATT_HOURS = (
    ("11.1", "4.4", "48.84"),
    ("10.8", "2.5", "27"),
    ("12", "50", "600"),
    ("20", "1.3", "26"),
    ("20", "6", "120"),
    ("3.7", "5.4", "19.98"),
    ("22.2", "4.5", "99.90"),
)
"""Volts, ampere-hours, watt-hours. The first five are published worked examples of the definition (49 CFR
171.8); of the last two binary fractions make 19.980000000000004 and 99.89999999999999."""

numbers = st.decimals(min_value=0, max_value=500, places=2)
positive = st.decimals(min_value=D("0.5"), max_value=500, places=2)
minutes = st.decimals(min_value=0, max_value=1440, places=0)


@pytest.mark.parametrize(("volts", "amp_hours", "wanted"), WATT_HOURS)
def test_watt_hours_are_volts_by_ampere_hours(volts: str, amp_hours: str, wanted: str) -> None:
    assert figures.energy_wh(D(volts), D(amp_hours)) == D(wanted)


def test_time_and_area_by_hand() -> None:
    """90 Wh at 30 W are 180 minutes, 5 Ah at 2.5 A are 120, 0.22 m at 0.4 m/s pass 316.8 m2 an hour (a units
    library gives the same)."""
    found = performance(EQUIPMENT, D(480))
    assert (found.energy_wh, found.run_minutes, found.charge_minutes) == (D(90), D(180), D(120))
    assert figures.area_m2_an_hour(D("0.22"), D("0.4")) == D("316.8")
    assert found.area_m2_a_cycle == D("950.4")
    # 180 minutes, 120 to charge, and the other 180 of the eight hours allowed.
    assert found.mowing_minutes_a_day == 360
    assert found.cycles_a_day == 2
    assert found.area_m2_a_day == D("1900.8")


def test_a_caller_s_own_context_changes_nothing() -> None:
    with localcontext() as context:
        context.prec = 2
        assert figures.energy_wh(D("11.1"), D("4.4")) == D("48.84")
        assert performance(EQUIPMENT, D(480)).area_m2_a_day == D("1900.8")


@pytest.mark.parametrize("missing", [each.name for each in fields(Equipment)])
def test_what_is_unknown_leaves_unknown_what_hangs_on_it_and_nothing_else(missing: str) -> None:
    hangs_on = {
        "volts": {"energy_wh", "run_minutes"},
        "amp_hours": {"energy_wh", "run_minutes", "charge_minutes"},
        "usable_share": {"run_minutes", "charge_minutes"},
        "mean_draw_w": {"run_minutes"},
        "charge_amps": {"charge_minutes"},
        "cutting_width_m": {"area_m2_a_cycle", "area_m2_a_day"},
        "speed_m_a_second": {"area_m2_a_cycle", "area_m2_a_day"},
    }[missing]
    if hangs_on & {"run_minutes", "charge_minutes"}:
        hangs_on |= {"mowing_minutes_a_day", "cycles_a_day", "area_m2_a_day"}
    if "run_minutes" in hangs_on:
        hangs_on |= {"area_m2_a_cycle"}
    found = performance(replace(EQUIPMENT, **{missing: None}), D(480))
    assert {each.name for each in fields(Performance) if getattr(found, each.name) is None} == hangs_on


def test_unknown_hours_leave_the_day_unknown() -> None:
    found = performance(EQUIPMENT, None)
    assert found.run_minutes == 180
    assert (found.mowing_minutes_a_day, found.cycles_a_day, found.area_m2_a_day) == (None, None, None)


def test_numbers_that_are_none_are_refused() -> None:
    for wrong in ("-1", "NaN", "Infinity"):
        with pytest.raises(ValueError, match="volts"):
            Equipment(volts=D(wrong))
    with pytest.raises(ValueError, match="from 0 to 1"):
        Equipment(usable_share=D("1.1"))
    with pytest.raises(ValueError, match="1440"):
        performance(EQUIPMENT, D(1441))


@given(positive, numbers, minutes)
def test_a_day_has_no_more_than_its_minutes(run: Decimal, charge: Decimal, allowed: Decimal) -> None:
    mowing = figures.mowing_minutes_a_day(run, charge, allowed)
    assert 0 <= mowing <= allowed
    charging = mowing * charge / run
    assert mowing + charging <= D(1440) + D("1e-20")


def simulated(run: int, charge: int, allowed: int) -> int:
    """A day minute by minute, the machine charged at its beginning."""
    mowed, left, charging = 0, run, 0
    for _ in range(allowed):
        if charging:
            charging -= 1
            left = run if not charging else left
        else:
            mowed, left = mowed + 1, left - 1
            charging = charge if not left else 0
            left = run if not left and not charge else left
    return mowed


@given(st.integers(1, 300), st.integers(0, 300), st.integers(0, 1440))
def test_a_day_is_what_a_walk_through_its_minutes_finds(run: int, charge: int, allowed: int) -> None:
    found = figures.mowing_minutes_a_day(D(run), D(charge), D(allowed))
    assert found == min(D(simulated(run, charge, allowed)), D(1440 * run) / (run + charge))


@given(positive, positive, minutes)
def test_area_a_day_is_cycles_by_the_area_of_one(
    volts: Decimal, amp_hours: Decimal, allowed: Decimal
) -> None:
    found = performance(replace(EQUIPMENT, volts=volts, amp_hours=amp_hours), allowed)
    assert found.cycles_a_day is not None
    assert found.area_m2_a_cycle is not None
    assert found.area_m2_a_day is not None
    assert abs(found.cycles_a_day * found.area_m2_a_cycle - found.area_m2_a_day) < D("1e-15")


@given(st.lists(positive, min_size=2, max_size=5))
def test_more_energy_mows_longer(amp_hours: list[Decimal]) -> None:
    found = [performance(replace(EQUIPMENT, amp_hours=each), D(480)) for each in sorted(amp_hours)]
    for one, two in pairwise(found):
        assert one.energy_wh is not None
        assert two.energy_wh is not None
        assert one.run_minutes is not None
        assert two.run_minutes is not None
        assert one.energy_wh <= two.energy_wh
        assert one.run_minutes <= two.run_minutes


def test_gains_and_what_each_unit_costs() -> None:
    before = performance(EQUIPMENT, D(480))
    after = performance(replace(EQUIPMENT, amp_hours=D(10)), D(480))
    found = {each.figure: each for each in gains(before, after, D("180.00"))}
    assert list(found) == [each.name for each in fields(Performance)]
    energy = found["energy_wh"]
    assert (energy.before, energy.after, energy.more, energy.cost_for_each) == (D(90), D(180), D(90), D(2))
    # 360 minutes a day either way, 360 then 240 to charge: twice the pack mows no more in these eight hours.
    mowing = found["mowing_minutes_a_day"]
    assert (mowing.more, mowing.cost_for_each) == (D(0), None)
    assert found["cycles_a_day"].more == -1
    assert found["cycles_a_day"].cost_for_each is None


def test_an_unknown_cost_leaves_the_gain_known() -> None:
    before, after = performance(EQUIPMENT, D(480)), performance(replace(EQUIPMENT, volts=None), D(480))
    found = {each.figure: each for each in gains(before, after)}
    assert (found["energy_wh"].before, found["energy_wh"].after, found["energy_wh"].more) == (
        D(90),
        None,
        None,
    )
    assert found["charge_minutes"].more == 0
    assert found["charge_minutes"].cost_for_each is None


def test_a_machine_that_draws_or_charges_nothing_is_unknown_and_no_fault() -> None:
    assert performance(replace(EQUIPMENT, mean_draw_w=D(0)), D(480)).run_minutes is None
    assert performance(replace(EQUIPMENT, charge_amps=D(0)), D(480)).charge_minutes is None
    empty = performance(replace(EQUIPMENT, amp_hours=D(0)), D(480))
    assert (empty.run_minutes, empty.mowing_minutes_a_day, empty.cycles_a_day) == (D(0), D(0), None)
