"""Can this unit do more, and what does it take? One answer over every way the unknown facts may be."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from service.domain.catalogue.hub import Hub
from service.domain.facts.case import CaseFacts
from service.domain.fit.effort import effort
from service.domain.fit.worlds import BoundExceeded as TooManyWorlds
from service.domain.terms import Cause, MarketId
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Approach
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.options import Options
from service.domain.upgrade.plans import Plan, best_plan
from service.domain.upgrade.standing import Standing, standings
from service.domain.upgrade.task import BoundExceeded
from service.domain.upgrade.trading import TradeUp, newest, trade_ups
from service.domain.upgrade.wanted import Wanted, permission
from service.domain.upgrade.why_not import Obstacle, obstacles


class UpgradeOutcome(StrEnum):
    """What comes of the question. Closed."""

    ALREADY = "already"
    POSSIBLE = "possible"
    POSSIBLE_NOT_WORTH_IT = "possible_not_worth_it"
    NOT_POSSIBLE = "not_possible"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """The sum behind the word on worth: a plan is worth it where `cost` is at most `share` of `instead`."""

    cost: Fraction
    instead: Decimal
    """What trading up costs: the cheapest new machine that can do it, less what is given for the old one."""
    share: Decimal

    @property
    def worth_it(self) -> bool:
        return self.cost <= Fraction(self.share) * Fraction(self.instead)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What comes of it in one case of the unknown facts."""

    outcome: UpgradeOutcome
    plans: tuple[Plan, ...] = ()
    """One for each approach that leads there, of least cost first."""
    trade_ups: tuple[TradeUp, ...] = ()
    worth: Worth | None = None
    """None where there is no plan, or nothing to compare it with."""
    obstacles: tuple[Obstacle, ...] = ()
    """For `not_possible`: a smallest set of facts that rules it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseFound:
    """One case that makes a difference, with the facts that it is for."""

    found: Found
    when: Mapping[str, tuple[str, ...]]
    """Per open fact, its values in this case."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrading:
    """The answer."""

    outcome: UpgradeOutcome
    cases: tuple[CaseFound, ...]
    """One where everything that matters is known."""
    cause: Cause | None = None
    """For `cannot_tell`."""
    ask: str | None = None
    """The fact to find out first, where one of the open facts can be found out by this caller."""

    @property
    def costs(self) -> tuple[Fraction, Fraction] | None:
        """The least and the most that the best plan costs, over the cases that have one."""
        best = [case.found.plans[0].burden.money for case in self.cases if case.found.plans]
        return (min(best), max(best)) if best else None


def upgrading(facts: CaseFacts, wanted: Wanted, offers: Callable[[MarketId], Offers]) -> Upgrading:
    """What it takes until a unit can do all that is wanted. `facts` are those of the unit as it is, and
    `offers` tells what can be had in a market."""
    try:
        found = [(each, found_for(each, wanted, offers(each.hub.market))) for each in standings(facts)]
    except (BoundExceeded, TooManyWorlds):
        return Upgrading(outcome=UpgradeOutcome.CANNOT_TELL, cases=(), cause=Cause.BOUND_EXCEEDED)
    if not found:
        cause = Cause.OUT_OF_SCOPE if facts.hubs else Cause.CONTRADICTION
        return Upgrading(outcome=UpgradeOutcome.CANNOT_TELL, cases=(), cause=cause)
    cases = _cases(found)
    outcomes = {case.found.outcome for case in cases}
    if len(outcomes) == 1:
        return Upgrading(outcome=outcomes.pop(), cases=cases, ask=_ask(facts, cases))
    if outcomes <= {UpgradeOutcome.POSSIBLE, UpgradeOutcome.POSSIBLE_NOT_WORTH_IT, UpgradeOutcome.ALREADY}:
        return Upgrading(outcome=UpgradeOutcome.POSSIBLE, cases=cases, ask=_ask(facts, cases))
    return Upgrading(
        outcome=UpgradeOutcome.CANNOT_TELL, cases=cases, cause=Cause.WORLDS_DIFFER, ask=_ask(facts, cases)
    )


def found_for(standing: Standing, wanted: Wanted, offers: Offers) -> Found:
    """What comes of it for a unit that stands so. Raises BoundExceeded."""
    plans = sorted(
        _plans(standing, wanted, offers), key=lambda plan: (plan.burden, list(Approach).index(plan.approach))
    )
    if plans and not plans[0].steps and not plans[0].charges and plans[0].conversion is None:
        return Found(outcome=UpgradeOutcome.ALREADY)
    others = tuple(trade_ups(standing, wanted))
    if not plans:
        return Found(
            outcome=UpgradeOutcome.NOT_POSSIBLE,
            trade_ups=others,
            obstacles=obstacles(standing, wanted, offers),
        )
    worth = _worth(standing, plans[0], others)
    dear = worth is not None and not worth.worth_it
    return Found(
        outcome=UpgradeOutcome.POSSIBLE_NOT_WORTH_IT if dear else UpgradeOutcome.POSSIBLE,
        plans=tuple(plans),
        trade_ups=others,
        worth=worth,
    )


def _plans(standing: Standing, wanted: Wanted, offers: Offers) -> Iterator[Plan]:
    """The best plan of each approach; one that is the same as a narrower one's is not told twice."""
    seen: list[tuple[object, ...]] = []
    for plan in _by_approach(standing, wanted, offers):
        content = plan.target, plan.changes, plan.accessories
        if content not in seen:
            seen.append(content)
            yield plan


def _by_approach(standing: Standing, wanted: Wanted, offers: Offers) -> Iterator[Plan]:
    hub = standing.hub
    if _permitted(hub, wanted):
        options = Options(Aim(standing=standing, hub=hub, wanted=wanted, offers=offers))
        for approach in (Approach.ACCESSORY_ONLY, Approach.SOFTWARE_ONLY, Approach.OTHER_BOARDS):
            plan = best_plan(options, approach)
            if plan is not None:
                yield plan
    upgrades = hub.compiled.catalogue.upgrades
    for conversion in upgrades.conversions if upgrades else ():
        target = newest(hub, conversion.target)
        if conversion.source == hub.model.id and target is not None and _permitted(target, wanted):
            options = Options(Aim(standing=standing, hub=target, wanted=wanted, offers=offers))
            plan = best_plan(options, Approach.ANOTHER_MODEL, conversion)
            if plan is not None:
                yield plan


def _permitted(hub: Hub, wanted: Wanted) -> bool:
    return not any(permission(hub, name, amount) for name, amount in wanted.items())


def _worth(standing: Standing, plan: Plan, others: Sequence[TradeUp]) -> Worth | None:
    upgrades = standing.hub.compiled.catalogue.upgrades
    if not others or upgrades is None:
        return None
    return Worth(cost=plan.burden.money, instead=others[0].to_pay, share=upgrades.worth_it_share)


def _cases(found: Sequence[tuple[Standing, Found]]) -> tuple[CaseFound, ...]:
    """Ways to stand of which the same comes are one case."""
    alike: list[tuple[Found, list[Standing]]] = []
    for standing, each in found:
        known = next((group for other, group in alike if other == each), None)
        if known is None:
            alike.append((each, [standing]))
        else:
            known.append(standing)
    whens = [_when(_open_facts([standing for standing, _ in found]), group) for _, group in alike]
    telling = _telling(whens)
    return tuple(
        CaseFound(found=each, when={name: when[name] for name in telling})
        for (each, _), when in zip(alike, whens, strict=True)
    )


When = Mapping[str, tuple[str, ...]]


def _open_facts(standing: Sequence[Standing]) -> list[str]:
    names = dict.fromkeys(name for each in standing for name in each.facts)
    return [name for name in names if len({each.facts.get(name) for each in standing}) > 1]


def _when(names: Sequence[str], group: Sequence[Standing]) -> When:
    return {name: tuple(sorted({each.facts[name] for each in group if name in each.facts})) for name in names}


def _telling(whens: Sequence[When]) -> list[str]:
    """Facts that tell the cases apart, no more of them than it takes; where they can't, all that differ."""
    pairs = {(one, other) for one in range(len(whens)) for other in range(one)}
    differing = [name for name in (whens[0] if whens else ()) if len({when[name] for when in whens}) > 1]
    told: list[str] = []
    for name in differing:
        apart = {(a, b) for a, b in pairs if set(whens[a][name]).isdisjoint(whens[b][name])}
        if apart:
            told.append(name)
            pairs -= apart
    return differing if pairs else told


def _ask(facts: CaseFacts, cases: Sequence[CaseFound]) -> str | None:
    """The open fact that tells cases apart and takes the caller the least effort."""
    if len(cases) < 2:
        return None
    efforts = [(cost, name) for name in cases[0].when if (cost := effort(name, facts.means, ())) is not None]
    return min(efforts)[1] if efforts else None
