"""The best plan of one approach: what is bought, what is done, by whom, for how much."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.upgrades import Conversion
from service.domain.place import Place
from service.domain.quote.quoting import Charge, LineKind
from service.domain.steps.plan import Step
from service.domain.terms import ModelId, StepKind, Who
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import ALLOWED, Approach
from service.domain.upgrade.choosing import cheapest
from service.domain.upgrade.filling import Filling
from service.domain.upgrade.framing import Framed, frame
from service.domain.upgrade.offers import HOUR, Offers
from service.domain.upgrade.options import SESSION, Options, Work
from service.domain.upgrade.task import FREE, Burden, Choice

PROGRAMMED = frozenset({StepKind.ENTER_SERIAL, StepKind.ASSIGN, StepKind.INTRODUCE})
"""Steps that bind or introduce a board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One plan. Its steps are in the family's order of work."""

    approach: Approach
    target: ModelId
    changes: tuple[Filling, ...]
    """The places that are filled anew or loaded, in the catalogue's order."""
    accessories: tuple[tuple[str, int], ...]
    """What is bought besides, with how many."""
    steps: tuple[Step, ...]
    burden: Burden
    minutes: tuple[int, int]
    lead_days: int | None
    """Days until everything can be had; None where that is not known."""
    charges: tuple[Charge, ...]
    conversion: Conversion | None = None

    @property
    def needs_first(self) -> tuple[str, ...]:
        """What money can't buy, as codes: said before any price."""
        issued = ("maker_issues_serial",) if self.conversion else ()
        who = {step.procedure.who for step in self.steps if step.procedure.tool}
        return (*issued, *(f"{each}_programs" for each in Who if each in who and each is not Who.OWNER))

    @property
    def who(self) -> tuple[Who, ...]:
        """Who works on the machine."""
        doing = {step.procedure.who for step in self.steps}
        return tuple(each for each in Who if each in doing)

    @property
    def mends(self) -> bool:
        """Whether boards that stay have to be programmed, for they are not in order as they are."""
        new = {each.place for each in self.changes if each.bought}
        return not new and any(step.kind in PROGRAMMED for step in self.steps)


def best_plan(options: Options, approach: Approach, conversion: Conversion | None = None) -> Plan | None:
    """The plan of least cost, then fewest steps that can't be undone, then fewest minutes, then first by
    name; None where there is none. Raises BoundExceeded."""
    found = []
    for session in (False, True):
        framed = frame(options, ALLOWED[approach], session=session)
        choice = cheapest(framed.task)
        if choice is not None:
            found.append((choice.burden, tuple(option.name for option in choice.options), framed, choice))
            if choice.burden.money < options.aim.offers.session or choice.burden == FREE:
                # What takes no tool is among these already, and what does would cost its session.
                break
    if not found:
        return None
    _, _, framed, choice = min(found, key=lambda each: each[:2])
    return _plan(options.aim, approach, framed, choice, conversion)


def _plan(
    aim: Aim, approach: Approach, framed: Framed, choice: Choice, conversion: Conversion | None
) -> Plan:
    works = [of[option.name] for of, option in zip(framed.works, choice.options, strict=True)]
    calls = {name for option in choice.options for name in option.calls}
    steps = _in_order(aim.hub, works, [framed.shared[name] for name in sorted(calls - {SESSION})])
    issued = Burden(Fraction(conversion.price)) if conversion else Burden()
    changes = [each for work in works for each in work.fillings if not each.kept or each.loads]
    bought = [work.fitting for work in works if work.fitting is not None and work.fitting.more]
    accessories = tuple((each.accessory, each.more) for each in bought)
    return Plan(
        approach=approach,
        target=aim.hub.model.id,
        changes=tuple(sorted(changes, key=lambda each: _position(aim.hub, each.place))),
        accessories=accessories,
        steps=steps,
        burden=choice.burden.plus(issued),
        minutes=(
            sum(step.procedure.minutes[0] for step in steps),
            sum(step.procedure.minutes[1] for step in steps),
        ),
        lead_days=_lead_days(aim.hub, changes, accessories, conversion),
        charges=tuple(_charges(aim.hub, aim.offers, changes, accessories, steps, conversion)),
        conversion=conversion,
    )


def _position(hub: Hub, place: Place | None) -> int:
    """In the catalogue's order; what the model has no place for comes last."""
    return hub.order.get(place, len(hub.order)) if place is not None else -1


def _in_order(hub: Hub, works: Sequence[Work], common: Sequence[Step]) -> tuple[Step, ...]:
    """All steps in the family's order of work; a new board is read out as soon as it is fitted."""
    at_work = {(each.kind, each.subject): at for at, each in enumerate(hub.family.procedures)}
    mounting = at_work.get((StepKind.MOUNT, ""), 0)

    def position(step: Step) -> tuple[float, bool, int]:
        fresh = step.kind is StepKind.READ_OUT and not step.old
        at = mounting + 0.5 if fresh else at_work[step.kind, step.procedure.subject]
        if step.kind is StepKind.LOAD:
            # Each block's loads stay in their order, for every state in between is to be allowed.
            return at, False, 0
        names = step.place is not None and step.place.role == hub.naming_role
        return at, not names, _position(hub, step.place)

    return tuple(sorted([*(step for work in works for step in work.steps), *common], key=position))


def _lead_days(
    hub: Hub,
    changes: Sequence[Filling],
    accessories: Sequence[tuple[str, int]],
    conversion: Conversion | None,
) -> int | None:
    upgrades = hub.compiled.catalogue.upgrades
    days = [each.lead_days for each in changes if not each.kept]
    days += [upgrades.accessories[name].lead_days for name, _ in accessories] if upgrades else []
    days += [conversion.lead_days] if conversion else []
    known = [each for each in days if each is not None]
    return max(known, default=0) if len(known) == len(days) else None


def _charges(
    hub: Hub,
    offers: Offers,
    changes: Sequence[Filling],
    accessories: Sequence[tuple[str, int]],
    steps: Sequence[Step],
    conversion: Conversion | None,
) -> Iterator[Charge]:
    """The lines to charge: their exact sum is the plan's money."""
    bought = [each for each in changes if each.bought is not None]
    goods = Counter((each.bought.number, each.price) for each in bought if each.bought)
    for (number, price), count in goods.items():
        if price is not None:
            yield Charge(kind=LineKind.PART, number=number, quantity=count, unit_price=price)
    for each in bought:
        for companion in each.bought.companions if each.bought else ():
            if companion.price is not None:
                yield Charge(
                    kind=LineKind.COMPANION, number=companion.number, quantity=1, unit_price=companion.price
                )
    upgrades = hub.compiled.catalogue.upgrades
    for name, count in accessories:
        assert upgrades is not None
        offer = upgrades.accessories[name]
        yield Charge(kind=LineKind.ACCESSORY, number=offer.number, quantity=count, unit_price=offer.price)
    if conversion is not None:
        yield Charge(kind=LineKind.SERIAL, quantity=1, unit_price=conversion.price)
    yield from _work_charges(offers, steps)


def _work_charges(offers: Offers, steps: Sequence[Step]) -> Iterator[Charge]:
    if offers.terms is None:
        return
    if any(step.procedure.tool for step in steps):
        yield Charge(kind=LineKind.PROGRAMMING, quantity=1, unit_price=offers.terms.programming_fee)
    minutes = sum(step.procedure.minutes[1] for step in steps if step.procedure.who is not Who.OWNER)
    if minutes:
        yield Charge(
            kind=LineKind.LABOUR, quantity=minutes, unit_price=offers.terms.labour_per_hour, per=HOUR
        )
