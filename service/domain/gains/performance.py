"""What a machine does in a day with its packs, and what a change adds to it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal

from service.domain.gains import figures
from service.domain.gains.figures import Figure, known


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """A machine with its packs, by the catalogue's numbers; None where the catalogue does not tell one.

    Raises ValueError for a number below zero.
    """

    volts: Figure = None
    amp_hours: Figure = None
    """Of all packs together: packs of one voltage side by side."""
    usable_share: Figure = None
    """Which part of the energy is used before the machine goes to charge: 0 to 1."""
    mean_draw_w: Figure = None
    charge_amps: Figure = None
    cutting_width_m: Figure = None
    speed_m_a_second: Figure = None

    def __post_init__(self) -> None:
        for each in fields(self):
            figure = getattr(self, each.name)
            if figure is not None and not (figure.is_finite() and figure >= 0):
                raise ValueError(f"{each.name} is {figure}: not a number from zero on")
        if self.usable_share is not None and self.usable_share > 1:
            raise ValueError(f"usable_share is {self.usable_share}: a part of the whole, from 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """What it comes to. Every figure is unknown for which a number is missing, and those only."""

    energy_wh: Figure
    run_minutes: Figure
    charge_minutes: Figure
    mowing_minutes_a_day: Figure
    cycles_a_day: Figure
    area_m2_a_cycle: Figure
    area_m2_a_day: Figure


def performance(equipment: Equipment, allowed_minutes: Figure) -> Performance:
    """What a machine does within the minutes a day that it is allowed to mow.

    Raises ValueError where these are more than a day has.
    """
    energy = known(figures.energy_wh, equipment.volts, equipment.amp_hours)
    run = known(figures.run_minutes, energy, equipment.usable_share, equipment.mean_draw_w)
    charge = known(figures.charge_minutes, equipment.amp_hours, equipment.usable_share, equipment.charge_amps)
    mowing = known(figures.mowing_minutes_a_day, run, charge, allowed_minutes)
    an_hour = known(figures.area_m2_an_hour, equipment.cutting_width_m, equipment.speed_m_a_second)
    return Performance(
        energy_wh=energy,
        run_minutes=run,
        charge_minutes=charge,
        mowing_minutes_a_day=mowing,
        cycles_a_day=known(figures.cycles, mowing, run),
        area_m2_a_cycle=known(figures.area_m2, an_hour, run),
        area_m2_a_day=known(figures.area_m2, an_hour, mowing),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """One figure before and after a change."""

    figure: str
    before: Figure
    after: Figure
    more: Figure
    cost_for_each: Figure
    """What each unit gained costs, in the currency of the cost; unknown where nothing is gained."""


def gains(before: Performance, after: Performance, cost: Decimal | None = None) -> tuple[Gain, ...]:
    """What a change does to each figure, in the order of `Performance`. `cost`: of the whole change."""
    return tuple(_gain(each.name, before, after, cost) for each in fields(Performance))


def _gain(name: str, before: Performance, after: Performance, cost: Figure) -> Gain:
    one, two = getattr(before, name), getattr(after, name)
    more = known(figures.difference, one, two)
    return Gain(
        figure=name,
        before=one,
        after=two,
        more=more,
        cost_for_each=known(figures.cost_for_each, cost, more),
    )
