"""What a plan is good for, and how its packs are shipped, in words."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from service.domain.gains.performance import Gain
from service.domain.upgrade.parcels import Parcel
from service.words import gain_texts as texts
from service.words.amounts import number
from service.words.names import Names

FEWEST_MINUTES = 5
"""Minutes are told to the next five: no mower keeps to a single one."""
LEAST_AREA = 10


def gain_sentence(gains: Sequence[Gain], names: Names) -> str:
    """The most telling gain; empty where there is none."""
    more = {each.figure: each.more for each in gains if each.more is not None and each.more > 0}
    minutes = _about(more.get("run_minutes"), FEWEST_MINUTES)
    if minutes:
        return names.language.say(texts.MORE_MINUTES, minutes=number(minutes, names.language))
    area = _about(more.get("area_m2_a_day"), LEAST_AREA)
    if area:
        return names.language.say(texts.MORE_AREA, area=number(area, names.language))
    energy = more.get("energy_wh")
    return "" if energy is None else names.language.say(texts.MORE_ENERGY, energy=_told(energy, names))


def shipping_sentences(of: Parcel, names: Names) -> str:
    """Under which rules a pack is shipped, and that they have to be looked up."""
    edition = of.shipping.edition
    told = names.language.say(
        texts.SHIPPING[of.shipping.shipping_class or "unknown"],
        accessory=names.accessory(of.accessory),
        energy=_told(of.watt_hours, names),
        edition=edition_named(edition.name, names) if edition else "",
    )
    return f"{told} {names.language.say(texts.CHECK_RULES)}"


def edition_named(code: str, names: Names) -> str:
    """An edition of the rules, with the place in it that is meant."""
    return names.language.say(texts.EDITIONS[code])


def plain(figure: Decimal) -> str:
    """A figure as JSON has it, with at most two digits after the point and none that says nothing."""
    return f"{_rounded(figure):f}"


def _told(figure: Decimal, names: Names) -> str:
    return number(_rounded(figure), names.language)


def _rounded(figure: Decimal) -> Decimal:
    return figure.quantize(Decimal("0.01"), ROUND_HALF_EVEN).normalize() + Decimal(0)


def _about(figure: Decimal | None, step: int) -> int:
    return 0 if figure is None else int((figure / step).to_integral_value(ROUND_HALF_EVEN)) * step
