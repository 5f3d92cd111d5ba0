"""Whether this machine can do more, what it would take, and whether it is worth it (Q6, Q13)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case
from service.domain.facts.gathering import NO_RECORDS, case_from, serials_of
from service.domain.facts.question import Question, StatedUnit
from service.domain.facts.sources import Sources
from service.domain.gains.performance import Gain
from service.domain.quote.quoting import Quote
from service.domain.terms import BindingPolicy, CapabilityId, Holds, MarketId, Means, RoleId, Serial
from service.domain.upgrade.gain import gain
from service.domain.upgrade.offers import Offers, StockBoard
from service.domain.upgrade.parcels import Parcel, parcels
from service.domain.upgrade.plans import Plan
from service.domain.upgrade.quoting import paid, quoted
from service.domain.upgrade.trading import TradeUp
from service.domain.upgrade.upgrading import CaseFound, Upgrading, upgrading
from service.store.stock import Bound, shelved
from service.usecases.caller import Caller, View
from service.usecases.mending import Fault, Refused, hint, shown
from service.usecases.shelving import bound_of, groups_for, offer
from service.usecases.shop import Shop

MOST_OF_A_PART = 6
"""So many boards of a part are looked at in stock, the best first; a role has fewer places."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeQuestion:
    """What is asked."""

    unit: StatedUnit
    wanted: Mapping[CapabilityId, int]
    from_stock: bool = True
    """Whether boards in stock may be used, besides new ones."""
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

    def instead(self, case: CaseFound, of: TradeUp) -> Decimal:
        """What trading up costs the customer, with the tax."""
        return paid(self.compiled, self.market(case), of.to_pay)

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
    public = caller.view is View.PUBLIC
    means = Means.CUSTOMER if public else question.means
    asked = Question(unit=question.unit, means=means, assume=question.assume)
    records = NO_RECORDS if public else shop.gather(*serials_of(compiled, asked), None)
    case = case_from(Sources(compiled=compiled, records=records, looked_up=not public), asked)
    stock = _stock(shop, compiled, case) if question.from_stock and not public else {}
    sale = compiled.catalogue.sale

    def offers(market: MarketId) -> Offers:
        return Offers(terms=sale.terms.get(market) if sale else None, stock=stock)

    answer = upgrading(case.facts, question.wanted, offers)
    return Upgraded(
        question=replace(question, means=means),
        compiled=compiled,
        case=case,
        answer=answer,
        day=datetime.now(UTC).date(),
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


def _stock(shop: Shop, compiled: CompiledCatalogue, case: Case) -> Mapping[RoleId, Sequence[StockBoard]]:
    """The boards on the shelf that could go into the unit, or into what it may be made, with their prices."""
    models = _targets(compiled, case)
    serials = list(dict.fromkeys(_on_the_shelf(shop, compiled, case, models)))
    records = shop.gather([serial for serial, _ in serials], (), None).boards
    stock: dict[RoleId, list[StockBoard]] = {}
    for serial, price in serials:
        record = records.get(serial)
        part = compiled.catalogue.parts.get(record.part) if record and record.part else None
        if record is None or part is None:
            continue
        model = (
            next(iter(record.binding.values or ()), None) if part.binding is not BindingPolicy.FREE else None
        )
        bound = None if model in (None, "blank") else model
        releases = compiled.catalogue.roles[part.role].releases
        stock.setdefault(part.role, []).append(
            StockBoard(
                serial=serial,
                part=part.number,
                binding=bound,  # type: ignore[arg-type] # a value of a binding that is not blank is a model
                holds=_holds(record.held_serial, record.holder_in_service, case) if bound else Holds.NOTHING,
                release=releases.index(record.release) if record.release in releases else None,
                price=price,
                used=bound is not None,
            )
        )
    return stock


def _holds(held: Serial | None, in_service: bool | None, case: Case) -> Holds:
    if held and held == case.unit.serial:
        return Holds.THIS_UNIT
    return Holds.IN_SERVICE if in_service else Holds.IDLE


def _targets(compiled: CompiledCatalogue, case: Case) -> frozenset[str]:
    own = {hub.model.id for hub in case.facts.hubs}
    upgrades = compiled.catalogue.upgrades
    return frozenset(own | {c.target for c in (upgrades.conversions if upgrades else ()) if c.source in own})


def _on_the_shelf(
    shop: Shop, compiled: CompiledCatalogue, case: Case, models: frozenset[str]
) -> Iterator[tuple[Serial, Decimal]]:
    unit = Serial(case.unit.serial or "")
    reached = {number for model in models for number in compiled.models[model].reached}  # type: ignore[index] # a model's id
    for number in sorted(reached):
        part = compiled.catalogue.parts[number]
        groups = [g for g in groups_for([part], models) if g.bound is not Bound.NOT_KNOWN]
        offered = offer(unit, groups, {number: part}, foreign_serials=True)
        found = shop.reader.read(
            lambda connection, shelf=offered.shelf: shelved(connection, shelf, None, MOST_OF_A_PART)  # type: ignore[misc] # the shelf of this turn
        )
        for each in found:
            used = bound_of(part, offered.position(each)) in (Bound.MODEL, Bound.THIS_UNIT)
            price = part.used_price if used else part.price
            if price is not None:
                yield each.serial, price
