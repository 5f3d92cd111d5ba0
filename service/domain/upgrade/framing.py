"""From an aim to the task of the best choice: blocks, options, what they share.

The board that names the model and those that follow it are one block, for a change of either ends their
introduction; every other role is a block by itself, and so is each accessory. What the rules refuse is no
option. The steps of an option are those of the one planner; those that have no place, such as the self-test,
are shared by all options that bring them, and so is the fee for a session with the tool.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from math import prod

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.steps.plan import Step
from service.domain.terms import BindingPolicy, RoleId
from service.domain.upgrade.accessories import Fitting, accessories_of, fittings
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.filling import Filling, fillings, kept, loaded
from service.domain.upgrade.mattering import mattering, price_of
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.seats import seated
from service.domain.upgrade.task import FREE, BoundExceeded, Burden, Option, Task
from service.domain.upgrade.wanted import Need, met
from service.domain.upgrade.working import Effort, effort_of, takes_the_tool, worked

SESSION = "session"
MAX_FILLINGS = 50_000
"""So many ways to fill one block are looked at; past it `BoundExceeded` is raised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What an option is."""

    fillings: tuple[Filling, ...] = ()
    fitting: Fitting | None = None
    """Of an accessory."""
    steps: tuple[Step, ...] = ()
    """Those with a place, and those of accessories; shared ones aside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """A task and what its options mean."""

    task: Task
    works: tuple[Mapping[str, Work], ...]
    """Per block, by the option's name."""
    shared: Mapping[str, Step]
    """The steps behind the shared burdens."""


def frame(aim: Aim, allowed: Allowed, *, session: bool) -> Framed:
    """The task of an aim. `session`: whether work with the programming tool is among it; the best of both is
    the best of all. Raises BoundExceeded."""
    return _Framing(aim, allowed, session).framed()


@dataclass(slots=True)
class _Framing:
    """Puts a task together."""

    aim: Aim
    allowed: Allowed
    session: bool
    blocks: list[tuple[Option, ...]] = field(default_factory=list)
    works: list[dict[str, Work]] = field(default_factory=list)
    shared: dict[str, Step] = field(default_factory=dict)

    def framed(self) -> Framed:
        for places in blocks_of(self.aim):
            self._add(self._filled(places))
        for accessory in accessories_of(self.aim):
            self._add(self._fitted(accessory))
        offers = self.aim.offers
        due = {name: _burden(offers, effort_of((step,))) for name, step in self.shared.items()}
        due[SESSION] = Burden(offers.session)
        serials = {board.serial for boards in offers.stock.values() for board in boards}
        task = Task(
            blocks=tuple(self.blocks),
            shared=due,
            wants=tuple(
                (frozenset(need.name for need in self.aim.needs if need.capability == name),)
                for name in self.aim.wanted
            ),
            stock=dict.fromkeys(sorted(serials), 1),
        )
        return Framed(task=task, works=tuple(self.works), shared=self.shared)

    def _add(self, found: Iterator[tuple[Option, Work]]) -> None:
        options = list(found)
        self.blocks.append(tuple(option for option, _ in options))
        self.works.append({option.name: work for option, work in options})

    def _filled(self, places: Sequence[Place]) -> Iterator[tuple[Option, Work]]:
        """A block that may stay as it is, with nothing to do and nothing to gain, does so."""
        needs = self.aim.needs_in(tuple({place.role for place in places}))
        stays = self._staying(places, needs)
        if stays is not None:
            yield stays
            return
        ways = [list(self._ways(place, needs)) for place in places]
        if prod(map(len, ways)) > MAX_FILLINGS:
            raise BoundExceeded
        for chosen in product(*ways):
            found = self._option(chosen, needs)
            if found is not None:
                yield found

    def _staying(self, places: Sequence[Place], needs: Sequence[Need]) -> tuple[Option, Work] | None:
        """The option that changes nothing, where no other can be better."""
        chosen = [filling for place in places for filling in kept(self.aim.standing, self.aim.hub, place)]
        found = self._option(tuple(chosen), needs) if len(chosen) == len(places) else None
        if found is None:
            return None
        idle = found[0].burden == FREE and not found[0].calls
        return found if idle and len(found[0].gives) == len({need.name for need in needs}) else None

    def _ways(self, place: Place, needs: Sequence[Need]) -> Iterator[Filling]:
        own = [need for need in needs if need.role == place.role]
        return mattering(self.aim, self._all_ways(place, own), own)

    def _all_ways(self, place: Place, needs: Sequence[Need]) -> Iterator[Filling]:
        loads = self.allowed.loads and any(need.kind == "release" for need in needs)
        for each in fillings(self.aim.standing, self.aim.hub, place, self.aim.offers):
            if each.kept or self.allowed.boards:
                yield each
                newer = loaded(self.aim.hub, each) if loads else None
                if newer is not None:
                    yield newer

    def _option(self, chosen: tuple[Filling, ...], needs: Sequence[Need]) -> tuple[Option, Work] | None:
        seats = seated(self.aim, chosen)
        done = worked(self.aim.hub, seats, session=self.session) if seats is not None else None
        if done is None:
            return None
        price = sum((price_of(each) for each in chosen if each.bought is not None), Fraction(0))
        option = Option(
            name=" + ".join(each.name for each in chosen),
            burden=_burden(self.aim.offers, done.effort, price),
            gives=met(self.aim.hub, needs, chosen),
            calls=self._called(done.common, takes_tool=done.takes_tool),
            takes=Counter(each.serial for each in chosen if each.serial is not None),
        )
        return option, Work(fillings=chosen, steps=done.own)

    def _called(self, common: Sequence[Step], *, takes_tool: bool) -> frozenset[str]:
        named = {f"{step.kind} {step.procedure.subject}": step for step in common}
        self.shared.update(named)
        return frozenset({*named, SESSION} if takes_tool else named)

    def _fitted(self, accessory: str) -> Iterator[tuple[Option, Work]]:
        for each in fittings(self.aim, accessory, allowed=self.allowed.accessories):
            takes_tool = takes_the_tool(each.steps)
            if takes_tool and not self.session:
                continue
            option = Option(
                name=f"{accessory} {each.total}",
                burden=_burden(self.aim.offers, effort_of(each.steps), each.price),
                gives=each.gives,
                calls=self._called((), takes_tool=takes_tool),
            )
            yield option, Work(fitting=each, steps=each.steps)


def _burden(offers: Offers, effort: Effort, price: Fraction = Fraction(0)) -> Burden:
    return Burden(price + offers.labour(effort.charged), effort.lasting, effort.minutes)


def blocks_of(aim: Aim) -> list[tuple[Place, ...]]:
    """The places of each block: those of boards that bind together, the others role by role. Where the
    machine becomes one of another model, so do the places that this one does not have."""
    places = aim.hub.places
    blocks = [tuple(place for place in places if place.role in roles) for roles in _groups(aim.hub)]
    over = [place for place in aim.standing.boards if aim.another_model and place not in aim.hub.order]
    return [*blocks, *((place,) for place in over)]


def _groups(hub: Hub) -> list[tuple[RoleId, ...]]:
    binding = {
        hub.parts[number].role
        for number in hub.owner.reached
        if hub.parts[number].binding is not BindingPolicy.FREE
    }
    joined = tuple(role for role in hub.roles if role in binding)
    single: list[tuple[RoleId, ...]] = [(role,) for role in hub.roles if role not in binding]
    return [joined, *single] if joined else single
