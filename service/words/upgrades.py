"""The answer to an upgrade question in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from service.domain.place import Place
from service.domain.quote.quoting import Charge
from service.domain.terms import CapabilityId, PartNumber, RoleId
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.trading import TradeUp
from service.domain.upgrade.upgrading import CaseFound, UpgradeOutcome, Upgrading, Worth
from service.domain.upgrade.why_not import Obstacle
from service.words import upgrade_texts as texts
from service.words.amounts import money, number
from service.words.language import one_spaced
from service.words.name_texts import WHATEVER_IT_IS
from service.words.names import Names

Costs = tuple[Decimal, Decimal] | None
"""What the best plan costs, least and most, tax included; None where no terms of sale say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Besides:
    """Sentences that a summary takes up; empty where there is nothing to say."""

    first: str
    """What has to be cleared up before anything else."""
    gain: str
    """What the best plan is good for."""
    instead: str
    """On trading up."""
    budget: str
    """On what may be spent."""
    worth: str
    """The sum behind the word on worth, where it is worth it."""


def upgrade_summary(
    answer: Upgrading,
    models: Sequence[str],
    wanted: Mapping[CapabilityId, int],
    costs: Costs,
    besides: Besides,
    names: Names,
) -> str:
    """The answer as a customer hears it: what it takes, what that is good for, what it costs."""
    first = answer.cases[0].found if answer.cases else None
    way = way_sentence(first.plans[0], names) if first and first.plans else ""
    told = names.language.say(
        texts.SUMMARIES[answer.outcome],
        unit=names.models(models),
        wanted=wanted_phrase(wanted, names),
        needs=" ".join(_needs(answer, names)),
        way=f"{way} {besides.gain}",
        budget=besides.budget,
        worth=besides.worth,
        cost=_costs(costs, names),
        why=" ".join(obstacle_sentence(each, names) for each in first.obstacles) if first else "",
        instead=besides.instead,
    )
    causes = [names.language.say(text) for cause, text in texts.CAUSES.items() if cause == answer.cause]
    return " ".join([*filter(None, [besides.first]), one_spaced(told), *causes])


def case_summary(case: CaseFound, costs: Costs, names: Names) -> str:
    """What comes of one case."""
    found = case.found
    if found.outcome is UpgradeOutcome.ALREADY:
        return names.language.say(texts.ALREADY)
    if not found.plans:
        return " ".join(obstacle_sentence(each, names) for each in found.obstacles)
    best = found.plans[0]
    told = [*(need_sentence(code, names) for code in best.needs_first), way_sentence(best, names)]
    return " ".join([*told, *([_costs(costs, names)] if costs else [])])


def _needs(answer: Upgrading, names: Names) -> list[str]:
    """What money can't buy: said before what it takes and what it costs."""
    if answer.outcome not in (UpgradeOutcome.POSSIBLE, UpgradeOutcome.POSSIBLE_NOT_WORTH_IT):
        return []
    plans = [each.found.plans[0] for each in answer.cases if each.found.plans]
    codes = dict.fromkeys(code for plan in plans for code in plan.needs_first)
    return [need_sentence(code, names) for code in codes]


def wanted_phrase(wanted: Mapping[CapabilityId, int], names: Names) -> str:
    """What is wanted, by name."""
    return names.language.both(_wanted(wanted, names))


def _wanted(wanted: Mapping[CapabilityId, int], names: Names) -> Iterator[str]:
    for name, amount in wanted.items():
        capability = names.catalogue.capabilities[name]
        told = names.capability(name)
        counted = capability.is_count
        yield names.language.say(texts.WITH_AMOUNT, name=told, amount=str(amount)) if counted else told


def way_sentence(plan: Plan, names: Names) -> str:
    """What a plan comes to."""
    ways = texts.MENDING_WAYS if plan.mends and plan.approach in texts.MENDING_WAYS else texts.WAYS
    return names.language.say(
        ways[plan.approach],
        a_target=names.a_model([plan.target], many=WHATEVER_IT_IS),
        boards=names.language.both(names.place(each.place) for each in plan.changes if each.bought),
        goods=names.language.both(
            names.language.say(texts.WITH_AMOUNT, name=names.accessory(name), amount=str(many))
            for name, many in plan.accessories
        ),
    )


def need_sentence(code: str, names: Names) -> str:
    """Something that money can't buy."""
    return names.language.say(texts.NEEDS[code])


def trade_up_sentence(of: TradeUp, costs: tuple[Decimal, Decimal], names: Names) -> str:
    """The new machine that could be had instead, and what it costs with the tax, least and most."""
    text = texts.INSTEAD if of.trade_in else texts.INSTEAD_WITHOUT
    least, most = (_money(each, names) for each in costs)
    cost = most if least == most else names.language.say(texts.FROM_TO, least=least, most=most)
    return names.language.say(text, model=names.model(of.model), cost=cost)


def budget_sentence(costs: Costs, budget: Decimal | None, names: Names) -> str:
    """On what may be spent, where it is not enough or may not be; empty where it is, or nobody says."""
    if costs is None or budget is None or costs[1] <= budget:
        return ""
    text = texts.OVER_BUDGET if costs[0] > budget else texts.MAY_BE_OVER_BUDGET
    return names.language.say(text, budget=_money(budget, names))


def worth_sentence(of: Worth, instead: TradeUp, cost: Decimal, names: Names) -> str:
    """The sum behind the word on worth. `cost`: what the new machine costs, with the tax."""
    percent = Decimal(of.cost.numerator) * 100 / (of.cost.denominator * of.instead) if of.instead else None
    if percent is None:
        return ""
    # Rounded up, so that what is told is over the limit just where the sum is.
    told = percent.quantize(Decimal("0.1"), ROUND_CEILING)
    return names.language.say(
        texts.WORTH if of.worth_it else texts.NOT_WORTH,
        percent=number(told, names.language),
        limit=number((of.share * 100).normalize() + Decimal(0), names.language),
        model=names.model(instead.model),
        instead=_money(cost, names),
    )


def obstacle_sentence(of: Obstacle, names: Names) -> str:
    """One fact that stands in the way."""
    facts = dict(of.facts)
    a_unit = names.a_model([facts["unit_model"]] if "unit_model" in facts else [], many=WHATEVER_IT_IS)
    what = facts.get("what", "")
    return names.language.say(
        texts.OBSTACLES[of.code],
        a_unit=a_unit,
        a_unit_first=a_unit[:1].upper() + a_unit[1:],
        board=names.place(Place(RoleId(what))),
        accessory=names.accessory(what),
    )


def charge_name(of: Charge, names: Names) -> str:
    """What a line is for."""
    quantity = str(of.quantity)
    return names.language.say(texts.LINES[of.kind], name=_goods(of.number, names), quantity=quantity)


def _goods(number: str, names: Names) -> str:
    catalogue = names.catalogue
    part = catalogue.parts.get(PartNumber(number))
    if part is not None:
        return part.name
    companions = (each for part in catalogue.parts.values() for each in part.companions)
    found = next((each.name for each in companions if each.number == number), "")
    offers = catalogue.upgrades.accessories.items() if catalogue.upgrades else ()
    return found or next((names.accessory(name) for name, offer in offers if offer.number == number), number)


def _costs(costs: Costs, names: Names) -> str:
    if costs is None:
        return ""
    least, most = (_money(each, names) for each in costs)
    if least == most:
        return names.language.say(texts.COSTS, cost=most)
    return names.language.say(texts.COSTS_BETWEEN, least=least, most=most)


def _money(amount: Decimal, names: Names) -> str:
    return money(amount, names.catalogue.currency, names.language)
