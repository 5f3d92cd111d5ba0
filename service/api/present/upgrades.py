"""An upgrade answer as plain JSON values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

from service.api.present.answer import minutes, place, step
from service.api.present.gains import gain, shipping, told_gain
from service.api.present.money import quote_lines
from service.api.present.wording import Wording
from service.domain.cautions import cautions_for_upgrade
from service.domain.quote.money import rounded
from service.domain.quote.quoting import Quote
from service.domain.steps.merging import PlannedStep
from service.domain.terms import Means
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.filling import Filling
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.trading import TradeUp
from service.domain.upgrade.upgrading import CaseFound, Worth
from service.domain.upgrade.why_not import Obstacle
from service.usecases.upgrades import Upgraded
from service.words import upgrades as words


def upgrade(of: Upgraded, wording: Wording) -> dict[str, Any]:
    """The answer, most telling first."""
    answer, unit, names = of.answer, of.case.unit, wording.names
    models = sorted(unit.model.values or ())
    costs = _costs(of)
    return {
        "outcome": answer.outcome.value,
        "summary": words.upgrade_summary(
            answer,
            models,
            of.question.wanted,
            costs,
            words.Besides(
                first=" ".join(_first(of, wording)),
                gain=told_gain(of, names),
                instead=_instead(of, wording),
                budget=words.budget_sentence(costs, of.question.budget, names),
                worth=_worth_of_all(of, wording),
            ),
            names,
        ),
        "unit": {
            **({"serial": unit.serial} if unit.serial else {}),
            "recorded": unit.record is not None,
            **({"in_service": unit.record.in_service} if unit.record else {}),
            "models": models,
        },
        "wanted": [
            {"capability": name, "name": names.capability(name), "amount": amount}
            for name, amount in of.question.wanted.items()
        ],
        "costs": _range(of, costs),
        "cases": [_case(of, each, wording) for each in answer.cases],
        **({"cause": answer.cause.value} if answer.cause else {}),
        "ask": {"fact": answer.ask, "question": wording.question_of(answer.ask)} if answer.ask else None,
        "catalogue_revision": of.compiled.catalogue.revision,
    }


def _first(of: Upgraded, wording: Wording) -> Iterator[str]:
    """What is wrong with the machine as it is, whatever is wanted."""
    record = of.case.unit.record
    if record is not None and record.ended:
        yield wording.out_of_service()
    yield from wording.own_boards(of.case)


def _instead(of: Upgraded, wording: Wording) -> str:
    """The sentence on the cheapest new machine that can do it, where the first case has one."""
    case = of.answer.cases[0] if of.answer.cases else None
    if case is None or not case.found.trade_ups:
        return ""
    best = case.found.trade_ups[0]
    return words.trade_up_sentence(best, of.instead_of_all(best.model), wording.names)


def _worth_of_all(of: Upgraded, wording: Wording) -> str:
    """The sum behind a plan that is worth it, where there is one case only."""
    case, *others = of.answer.cases or (None,)
    if case is None or others or case.found.worth is None or not case.found.worth.worth_it:
        return ""
    instead = case.found.trade_ups[0]
    return words.worth_sentence(case.found.worth, instead, of.instead(case, instead)[1], wording.names)


def _costs(of: Upgraded) -> words.Costs:
    """What the best plan of each case comes to, least and most."""
    return _costs_of(of.answer.cases, of)


def _costs_of(cases: Sequence[CaseFound], of: Upgraded) -> words.Costs:
    best = [of.quote(case, case.found.plans[0]) for case in cases if case.found.plans]
    paid = [each.to_pay for each in best if each is not None]
    return (min(paid), max(paid)) if paid else None


def _range(of: Upgraded, costs: words.Costs) -> dict[str, str] | None:
    if costs is None:
        return None
    return {"least": str(costs[0]), "most": str(costs[1]), "currency": of.compiled.catalogue.currency}


def _case(of: Upgraded, case: CaseFound, wording: Wording) -> dict[str, Any]:
    found = case.found
    return {
        "when": {name: list(values) for name, values in case.when.items()},
        "text": wording.case(case.when),
        "outcome": found.outcome.value,
        "summary": words.case_summary(case, _costs_of([case], of), wording.names),
        "plans": [_plan(of, case, each, wording) for each in found.plans],
        "trade_ups": [_trade_up(of, case, each, wording) for each in found.trade_ups],
        "worth": _worth(of, case, found.worth, wording) if found.worth else None,
        "reasons": [_obstacle(each, wording) for each in found.obstacles],
    }


def _plan(of: Upgraded, case: CaseFound, plan: Plan, wording: Wording) -> dict[str, Any]:
    quote = of.quote(case, plan)
    planned = [PlannedStep(step=each) for each in plan.steps]
    cautions = cautions_for_upgrade(
        of.question.means,
        planned,
        another_model=plan.approach is Approach.ANOTHER_MODEL,
        packs=bool(plan.accessories),
    )
    return {
        "approach": plan.approach.value,
        "model": plan.target,
        "text": words.way_sentence(plan, wording.names),
        "needs_first": [
            {"code": code, "text": words.need_sentence(code, wording.names)} for code in plan.needs_first
        ],
        "changes": [_change(each) for each in plan.changes],
        "accessories": [{"accessory": name, "amount": count} for name, count in plan.accessories],
        "who": [each.value for each in plan.who],
        "minutes": minutes(plan.minutes),
        **({} if plan.lead_days is None else {"lead_days": plan.lead_days}),
        "permanent_steps": plan.burden.lasting,
        "steps": [] if of.question.means is Means.CUSTOMER else [step(each, wording) for each in planned],
        "quote": _quote(quote, wording) if quote else None,
        "over_budget": of.over_budget(quote),
        "gain": gain(of, case, plan, wording.names),
        "shipping": [shipping(each, wording.names) for each in of.parcels(plan)],
        "cautions": [
            {"code": each.code, "signal": each.signal.value, "text": wording.caution(each)}
            for each in cautions
        ],
    }


def _change(of: Filling) -> dict[str, Any]:
    return {
        **place(of.place),
        **({"part": of.bought.number} if of.bought else {}),
        **({"serial": of.serial} if of.serial else {}),
        "loaded": bool(of.loads),
        "taken_out": of.taken_out,
    }


def _quote(of: Quote, wording: Wording) -> dict[str, Any]:
    return quote_lines(of, lambda line: words.charge_name(line.charge, wording.names))


def _trade_up(of: Upgraded, case: CaseFound, up: TradeUp, wording: Wording) -> dict[str, Any]:
    cost = of.instead(case, up)
    return {
        "model": up.model,
        "price": str(up.price),
        "trade_in": str(up.trade_in),
        "to_pay": str(cost[1]),
        "over_budget": of.question.budget is not None and cost[1] > of.question.budget,
        **({"lead_days": up.lead_days} if up.lead_days is not None else {}),
        "text": words.trade_up_sentence(up, cost, wording.names),
    }


def _worth(of: Upgraded, case: CaseFound, worth: Worth, wording: Wording) -> dict[str, Any]:
    best, instead = case.found.plans[0], case.found.trade_ups[0]
    told = gain(of, case, best, wording.names)
    return {
        "worth_it": worth.worth_it,
        "cost": str(rounded(worth.cost, of.compiled.catalogue.currency)),
        "instead": str(worth.instead),
        "share": str(worth.share.normalize() + Decimal(0)),
        "gain": told["text"] if told else None,
        "text": words.worth_sentence(worth, instead, of.instead(case, instead)[1], wording.names),
    }


def _obstacle(of: Obstacle, wording: Wording) -> dict[str, Any]:
    return {
        "code": of.code,
        "facts": dict(of.facts),
        "text": words.obstacle_sentence(of, wording.names),
    }
