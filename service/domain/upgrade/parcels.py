"""How the packs that a plan buys are shipped."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.domain.catalogue.model import Catalogue
from service.domain.gains.figures import energy_wh
from service.domain.gains.shipping import Packing, Shipping, shipping
from service.domain.upgrade.plans import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """Packs of one kind, each shipped by itself, apart from the machine."""

    accessory: str
    amount: int
    watt_hours: Decimal
    """Of each pack."""
    shipping: Shipping


def parcels(catalogue: Catalogue, plan: Plan, day: date) -> tuple[Parcel, ...]:
    """The packs of known energy that a plan buys, with their class by the rules of a day."""
    if catalogue.upgrades is None:
        return ()
    found = []
    for name, amount in plan.accessories:
        pack = catalogue.upgrades.accessories[name].pack
        if pack is None:
            continue
        energy = energy_wh(pack.volts, pack.amp_hours)
        told = shipping(day=day, packing=Packing.ALONE, battery_wh=energy, cell_wh=pack.cell_watt_hours)
        found.append(Parcel(accessory=name, amount=amount, watt_hours=energy, shipping=told))
    return tuple(found)
