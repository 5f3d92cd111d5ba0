"""What an upgrade is good for, and how its packs are shipped, as plain JSON values."""

from __future__ import annotations

from typing import Any

from service.domain.gains.performance import Gain
from service.domain.quote.money import rounded
from service.domain.upgrade.parcels import Parcel
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.upgrading import CaseFound
from service.usecases.upgrades import Upgraded
from service.words.gains import edition_named, gain_sentence, plain, shipping_sentences
from service.words.names import Names


def told_gain(of: Upgraded, names: Names) -> str:
    """What the best plan gains, where it gains the same in every case that has a plan."""
    cases = [case for case in of.answer.cases if case.found.plans]
    said = {gain_sentence(of.gain(case, case.found.plans[0]), names) for case in cases}
    return said.pop() if len(said) == 1 else ""


def gain(of: Upgraded, case: CaseFound, plan: Plan, names: Names) -> dict[str, Any] | None:
    """What a plan changes; None where that is nothing known."""
    told = of.gain(case, plan)
    if not told:
        return None
    currency = of.compiled.catalogue.currency
    return {"text": gain_sentence(told, names), "figures": [_figure(each, currency) for each in told]}


def _figure(of: Gain, currency: str) -> dict[str, Any]:
    told = {"before": of.before, "after": of.after, "more": of.more}
    cost = {} if of.cost_for_each is None else {"cost_for_each": str(rounded(of.cost_for_each, currency))}
    figures = {name: plain(figure) for name, figure in told.items() if figure is not None}
    return {"figure": of.figure, **figures, **cost}


def shipping(of: Parcel, names: Names) -> dict[str, Any]:
    """How a pack that is bought may be shipped, with the rules that say so."""
    edition = of.shipping.edition
    by = (
        {
            "edition": edition.name,
            "source": edition_named(edition.name, names),
            "in_force_from": edition.in_force_from.isoformat(),
        }
        if edition
        else {}
    )
    return {
        "accessory": of.accessory,
        "amount": of.amount,
        "watt_hours": plain(of.watt_hours),
        "un_number": of.shipping.un_number,
        "shipping_class": str(of.shipping.shipping_class or "unknown"),
        **by,
        "text": shipping_sentences(of, names),
    }
