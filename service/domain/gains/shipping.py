"""Under which rules a lithium-ion pack is shipped, by its watt-hours.

These rules change every two years. So they are data with a date, and every answer carries the date and the
source of the edition that it was made from: whoever ships checks the rules in force. Nothing here replaces
that, a trained person, or the carrier's own conditions.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum


class Packing(StrEnum):
    """How a pack travels. Closed."""

    ALONE = "alone"
    WITH_EQUIPMENT = "with_equipment"
    IN_EQUIPMENT = "in_equipment"


class Condition(StrEnum):
    """The state of a pack, as far as shipping is concerned. Closed."""

    SOUND = "sound"
    DAMAGED = "damaged"
    """Damaged, defective, swollen, or suspected of it."""
    FOR_RECYCLING = "for_recycling"


class ShippingClass(StrEnum):
    """Under what a pack falls. Closed."""

    EASED = "eased"
    """At most the limits: the eased rules of special provision 188."""
    FULL = "full"
    """Over a limit: dangerous goods of class 9."""
    DAMAGED = "damaged"
    """Special provision 376: not by ordinary means."""
    FOR_RECYCLING = "for_recycling"
    """The provisions for disposal and recycling (377, 636, 670)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """The limits of one edition of the rules."""

    name: str
    source: str
    in_force_from: date
    cell_wh: Decimal
    battery_wh: Decimal
    """Greatest watt-hours under which the eased rules hold, the limit itself among them."""


EDITIONS = (
    Edition(
        name="ADR_2025",
        source="ADR_special_provision_188_a_and_b",
        in_force_from=date(2025, 1, 1),
        cell_wh=Decimal(20),
        battery_wh=Decimal(100),
    ),
)
"""By date, the oldest first. The limits and "at most" were read in the Swedish text of special provision 188
(ADR-S); the date from which the edition applies, the UN numbers of equipment and the provisions named in
`ShippingClass` are from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shipping:
    """The class of a pack, and from which edition it was told."""

    un_number: str
    """3480 for packs by themselves, 3481 for those with or in equipment; a mower counts as equipment."""
    shipping_class: ShippingClass | None
    """None: not known, for want of the watt-hours or of an edition of that day."""
    edition: Edition | None


def shipping(
    *,
    day: date,
    packing: Packing,
    condition: Condition = Condition.SOUND,
    battery_wh: Decimal | None = None,
    cell_wh: Decimal | None = None,
) -> Shipping:
    """The shipping of a lithium-ion pack on a day.

    `cell_wh`: of each of its cells, None where nobody knows it. A pack over the battery's limit is over a
    limit whatever its cells are; one within it is eased only where the cells are known to be within theirs.
    """
    edition = max(
        (each for each in EDITIONS if each.in_force_from <= day), key=lambda e: e.in_force_from, default=None
    )
    return Shipping(
        un_number="UN3480" if packing is Packing.ALONE else "UN3481",
        shipping_class=None if edition is None else _class(edition, condition, battery_wh, cell_wh),
        edition=edition,
    )


def _class(
    edition: Edition, condition: Condition, battery_wh: Decimal | None, cell_wh: Decimal | None
) -> ShippingClass | None:
    if condition is not Condition.SOUND:
        damaged = condition is Condition.DAMAGED
        return ShippingClass.DAMAGED if damaged else ShippingClass.FOR_RECYCLING
    within = (_within(battery_wh, edition.battery_wh), _within(cell_wh, edition.cell_wh))
    if False in within:
        return ShippingClass.FULL
    return None if None in within else ShippingClass.EASED


def _within(watt_hours: Decimal | None, limit: Decimal) -> bool | None:
    """Whether a pack keeps a limit; equality does. None: unknown."""
    return None if watt_hours is None else watt_hours <= limit
