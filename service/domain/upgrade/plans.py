"""The best plan of one approach: what is bought, what is done, by whom, for how much."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.upgrades import Conversion
from service.domain.quote.quoting import Charge, LineKind
from service.domain.steps.plan import Step
from service.domain.terms import ModelId, StepKind, Who
from service.domain.upgrade.blocks import SESSION, Allowed, Framed, Work, frame
from service.domain.upgrade.choosing import cheapest
from service.domain.upgrade.filling import Filling
from service.domain.upgrade.offers import HOUR, Offers
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.task import Burden, Choice
from service.domain.upgrade.wanted import Wanted


class Approach(StrEnum):
    """In which way a unit comes to what is wanted. May grow."""

    ACCESSORY_ONLY = "accessory_only"
    SOFTWARE_ONLY = "software_only"
    OTHER_BOARDS = "other_boards"
    """Other boards, with whatever software and accessories they need."""
    ANOTHER_MODEL = "another_model"
    """The machine becomes one of another model."""


ALLOWED = {
    Approach.ACCESSORY_ONLY: Allowed(boards=False, loads=False),
    Approach.SOFTWARE_ONLY: Allowed(boards=False, accessories=False),
    Approach.OTHER_BOARDS: Allowed(),
    Approach.ANOTHER_MODEL: Allowed(),
}


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
    def needs_tool(self) -> bool:
        """Whether anything of it takes the programming tool."""
        return any(step.procedure.tool for step in self.steps)


def best_plan(
    standing: Standing,
    hub: Hub,
    wanted: Wanted,
    offers: Offers,
    approach: Approach,
    conversion: Conversion | None = None,
) -> Plan | None:
    """The plan of least cost, then fewest steps that can't be undone, then fewest minutes, then first by
    name; None where there is none. Raises BoundExceeded."""
    found = []
    for session in (False, True):
        framed = frame(standing, hub, wanted, offers, ALLOWED[approach], session=session)
        choice = cheapest(framed.task)
        if choice is not None:
            found.append((choice.burden, tuple(option.name for option in choice.options), framed, choice))
    if not found:
        return None
    _, _, framed, choice = min(found, key=lambda each: each[:2])
    return _plan(hub, offers, approach, framed, choice, conversion)


def _plan(
    hub: Hub,
    offers: Offers,
    approach: Approach,
    framed: Framed,
    choice: Choice,
    conversion: Conversion | None,
) -> Plan:
    works = [of[option.name] for of, option in zip(framed.works, choice.options, strict=True)]
    calls = {name for option in choice.options for name in option.calls}
    steps = _in_order(hub, works, [framed.shared[name] for name in sorted(calls - {SESSION})])
    issued = Burden(Fraction(conversion.price)) if conversion else Burden()
    changes = tuple(each for work in works for each in work.fillings if not each.kept or each.load)
    accessories = tuple((name, count) for work in works for name, count in work.accessories.items())
    return Plan(
        approach=approach,
        target=hub.model.id,
        changes=tuple(sorted(changes, key=lambda each: hub.places.index(each.place))),
        accessories=accessories,
        steps=steps,
        burden=choice.burden.plus(issued),
        minutes=(
            sum(step.procedure.minutes[0] for step in steps),
            sum(step.procedure.minutes[1] for step in steps),
        ),
        lead_days=_lead_days(hub, changes, accessories, conversion),
        charges=tuple(_charges(hub, offers, changes, accessories, steps, conversion)),
        conversion=conversion,
    )


def _in_order(hub: Hub, works: Sequence[Work], common: Sequence[Step]) -> tuple[Step, ...]:
    """All steps in the family's order of work; a new board is read out as soon as it is fitted."""
    procedures = list(hub.family.procedures)
    mounting = next((at for at, each in enumerate(procedures) if each.kind is StepKind.MOUNT), 0)

    def position(step: Step) -> tuple[float, bool, int]:
        fresh = step.kind is StepKind.READ_OUT and not step.old
        at = mounting + 0.5 if fresh else procedures.index(step.procedure)
        place = step.place
        names = place is not None and place.role == hub.naming_role
        return at, not names, hub.places.index(place) if place in hub.places else -1

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
