"""What a plan is good for that buys packs: energy, time on one charge, area a day, and what each costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from decimal import Decimal

from service.domain.catalogue.model import Catalogue
from service.domain.catalogue.upgrades import MachineFigures, ModelOffer, Pack, Upgrades
from service.domain.gains.figures import MINUTES_AN_HOUR, Figure
from service.domain.gains.performance import Equipment, Gain, Performance, gains, performance
from service.domain.terms import ModelId
from service.domain.upgrade.accessories import fitted_now
from service.domain.upgrade.plans import Plan

Packs = Mapping[str, Pack]
"""By accessory."""
PRICED = ("energy_wh", "area_m2_a_day")
"""The figures of which each unit gained is told its cost: more of them is what is paid for."""


def gain(
    catalogue: Catalogue, plan: Plan, fitted: Mapping[str, int], cost: Decimal | None
) -> tuple[Gain, ...]:
    """The figures that the packs of a plan change, in the order of `Performance`; those only that are known
    before and after. Empty where the plan buys no pack of known energy.

    `fitted`: how many of each accessory the unit has, where somebody knows it. `cost`: of the whole plan;
    None where nobody says what its work costs.
    """
    upgrades = catalogue.upgrades
    packs = (
        {name: offer.pack for name, offer in upgrades.accessories.items() if offer.pack} if upgrades else {}
    )
    more = {name: count for name, count in plan.accessories if name in packs}
    if upgrades is None or not more:
        return ()
    kinds = [name for name in packs if name in more or name in fitted]
    before = {name: fitted_now(catalogue, fitted, name) for name in kinds}
    after = {name: count + more.get(name, 0) for name, count in before.items()}
    machine = _machine(upgrades, plan)
    told = gains(_performance(machine, packs, before), _performance(machine, packs, after), cost)
    return tuple(
        each if each.figure in PRICED else replace(each, cost_for_each=None) for each in told if each.more
    )


def _machine(upgrades: Upgrades, plan: Plan) -> MachineFigures:
    """What the papers say of the machine. Boards make no blade wider and no motor thriftier: of a machine
    that becomes another model those figures are known that both models have alike."""
    own = plan.conversion.source if plan.conversion else plan.target
    before, after = _figures(upgrades, own), _figures(upgrades, plan.target)
    told = {each.name: getattr(after, each.name) for each in fields(MachineFigures)}
    return replace(after, **{name: None for name, figure in told.items() if figure != getattr(before, name)})


def _figures(upgrades: Upgrades, model: ModelId) -> MachineFigures:
    return upgrades.models.get(model, ModelOffer()).performance


def _performance(machine: MachineFigures, packs: Packs, counts: Mapping[str, int]) -> Performance:
    volts, amp_hours = _together({name: count for name, count in counts.items() if count}, packs)
    equipment = Equipment(
        volts=volts,
        amp_hours=amp_hours,
        usable_share=machine.usable_share,
        mean_draw_w=machine.draw_watts,
        charge_amps=machine.charge_amps,
        cutting_width_m=machine.cutting_width_m,
        speed_m_a_second=machine.speed_m_per_s,
    )
    hours = machine.allowed_hours
    return performance(equipment, None if hours is None else hours * MINUTES_AN_HOUR)


def _together(counts: Mapping[str, int], packs: Packs) -> tuple[Figure, Figure]:
    """Volts and ampere-hours of packs side by side; unknown of no pack, and where voltages differ."""
    volts = {packs[name].volts for name in counts}
    if len(volts) != 1:
        return None, None
    return volts.pop(), sum((packs[name].amp_hours * count for name, count in counts.items()), Decimal(0))
