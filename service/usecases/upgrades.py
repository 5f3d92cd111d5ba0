"""Whether this machine can do more, what it would take, and whether it is worth it (Q6, Q13)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case
from service.domain.facts.gathering import case_from
from service.domain.facts.question import Question, StatedUnit
from service.domain.gains.performance import Gain
from service.domain.quote.quoting import Quote
from service.domain.terms import CapabilityId, MarketId, Means, ModelId, Who
from service.domain.upgrade.gain import gain
from service.domain.upgrade.offers import Offers, hands_up_to
from service.domain.upgrade.parcels import Parcel, parcels
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.quoting import paid, quoted
from service.domain.upgrade.trading import TradeUp
from service.domain.upgrade.upgrading import CaseFound, Upgrading, upgrading
from service.usecases.caller import Caller, means_of
from service.usecases.gathering import sources_of
from service.usecases.mending import Fault, Refused, hint, shown
from service.usecases.shop import Shop
from service.usecases.upgrade_stock import EMPTY, in_stock


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeQuestion:
    """What is asked."""

    unit: StatedUnit
    wanted: Mapping[CapabilityId, int]
    from_stock: bool = True
    """Whether boards in stock may be used, besides new ones."""
    done_by: Who = Who.MAKER
    """Nobody beyond this one may work on the machine: an owner, a dealer, the maker."""
    budget: Decimal | None = None
    means: Means = Means.COUNTER
    assume: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgraded:
    """The answer, with everything that is shown of it."""

    question: UpgradeQuestion
    compiled: CompiledCatalogue
    case: Case
    answer: Upgrading
    day: date
    """Today, by the clock that prices are kept by: a plan and a sale check of one moment are of one day."""

    def quote(self, case: CaseFound, plan: Plan) -> Quote | None:
        """What a plan costs in the market of its case; None where no terms of sale say."""
        return quoted(self.compiled, self.market(case), plan, self.day)

    def gain(self, case: CaseFound, plan: Plan) -> tuple[Gain, ...]:
        """What a plan's packs change; their cost is what the customer pays for the plan."""
        quote = self.quote(case, plan)
        fitted = dict(self.case.facts.accessories)
        return gain(self.compiled.catalogue, plan, fitted, quote.to_pay if quote else None)

    def parcels(self, plan: Plan) -> tuple[Parcel, ...]:
        """How the packs that a plan buys are shipped today."""
        return parcels(self.compiled.catalogue, plan, self.day)

    def instead(self, case: CaseFound, of: TradeUp) -> tuple[Decimal, Decimal]:
        """What trading up costs the customer, with the tax: least and most, over the markets of a case."""
        told = case.when.get("unit.market", ())
        markets = set(map(MarketId, told)) or {hub.market for hub in self.case.facts.hubs}
        costs = {paid(self.compiled, market, of.to_pay) for market in markets}
        return min(costs), max(costs)

    def instead_of_all(self, model: ModelId) -> tuple[Decimal, Decimal]:
        """What trading up to this model costs over all cases in which it can be done."""
        found = [
            self.instead(case, each)
            for case in self.answer.cases
            for each in case.found.trade_ups
            if each.model == model
        ]
        return min(least for least, _ in found), max(most for _, most in found)

    def market(self, case: CaseFound) -> MarketId:
        """The market of a case; the first by id where several are possible and make no difference."""
        told = case.when.get("unit.market", ())
        return MarketId(told[0]) if told else min(hub.market for hub in self.case.facts.hubs)

    def over_budget(self, of: Quote | None) -> bool:
        """Whether something costs more than there is, tax included."""
        return self.question.budget is not None and of is not None and of.to_pay > self.question.budget


def upgrade(shop: Shop, caller: Caller, question: UpgradeQuestion) -> Upgraded:
    """What it takes until a unit can do what is wanted.

    Raises Refused for a capability that does not exist, ImpossibleQuestion for a unit that cannot be.
    """
    compiled = shop.catalogue()
    _refuse_unknown(compiled, question.wanted)
    means = means_of(caller, question.means)
    asked = Question(unit=question.unit, means=means, assume=question.assume)
    sources = sources_of(shop, caller, compiled, [asked])
    case = case_from(sources, asked)
    shelf = in_stock(shop, case, sources, asked) if question.from_stock and sources.looked_up else EMPTY
    sale = compiled.catalogue.sale

    def offers(market: MarketId) -> Offers:
        terms = sale.terms.get(market) if sale else None
        workers = hands_up_to(question.done_by)
        return Offers(terms=terms, stock=shelf.boards, pairs=shelf.pairs, workers=workers)

    answer = upgrading(case.facts, question.wanted, offers)
    return Upgraded(
        question=replace(question, means=means),
        compiled=compiled,
        case=case,
        answer=answer,
        day=shop.now().date(),
    )


def _refuse_unknown(compiled: CompiledCatalogue, wanted: Mapping[CapabilityId, int]) -> None:
    known = compiled.catalogue.capabilities
    faults = [
        Fault(
            ("wanted", name),
            f"the catalogue has no capability {shown(name)}: {hint(name, known, found_at='/v1/models')}",
        )
        for name in wanted
        if name not in known
    ]
    if faults:
        raise Refused(faults)
