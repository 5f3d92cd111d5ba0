"""From a unit as it stands and a target to the task of the best choice: blocks, options, what they share.

The board that names the model and those that follow it are one block, for a change of either ends their
introduction; every other role is a block by itself, and so is each accessory. What the rules refuse is no
option. The steps of an option are those of the one planner (`steps.plan`); those that have no place, such as
the self-test, are shared by all options that bring them, and so is the fee for a session with the tool.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Catalogue
from service.domain.catalogue.upgrades import AccessoryOffer
from service.domain.place import Place
from service.domain.rules import FITS_WITH_TOOL, OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.steps.plan import Step, World, plan
from service.domain.terms import BindingPolicy, Holds, RoleId, StepKind, Who
from service.domain.upgrade.filling import Filling, binds, fillings, loaded
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.task import BoundExceeded, Burden, Option, Task
from service.domain.upgrade.wanted import Wanted, accessory_need, met, needs_of

SESSION = "session"
MAX_FILLINGS = 50_000
"""So many ways to fill one block are looked at; past it `BoundExceeded` is raised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What an option is."""

    fillings: tuple[Filling, ...] = ()
    accessories: Mapping[str, int] = field(default_factory=dict)
    """Accessories that are bought."""
    steps: tuple[Step, ...] = ()
    """Those with a place, those of accessories, and loads; shared ones aside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """A task and what its options mean."""

    task: Task
    works: tuple[Mapping[str, Work], ...]
    """Per block, by the option's name."""
    shared: Mapping[str, Step]
    """The steps behind the shared burdens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """Which kinds of change a plan may make."""

    boards: bool = True
    loads: bool = True
    accessories: bool = True


@dataclass(slots=True)
class _Framing:
    """Puts a task together."""

    standing: Standing
    hub: Hub
    wanted: Wanted
    offers: Offers
    allowed: Allowed
    session: bool
    blocks: list[tuple[Option, ...]] = field(default_factory=list)
    works: list[dict[str, Work]] = field(default_factory=list)
    shared: dict[str, Step] = field(default_factory=dict)

    def framed(self) -> Framed:
        for roles in _groups(self.hub):
            self._add(self._filled(roles))
        for accessory in self._accessories():
            self._add(self._bought(accessory))
        due = {name: self._burden((step,)) for name, step in self.shared.items()}
        due[SESSION] = Burden(self.offers.session)
        serials = {board.serial for boards in self.offers.stock.values() for board in boards}
        task = Task(
            blocks=tuple(self.blocks),
            shared=due,
            wants=tuple((needs,) for needs in needs_of(self.hub, self.wanted).values()),
            stock=dict.fromkeys(sorted(serials), 1),
        )
        return Framed(task=task, works=tuple(self.works), shared=self.shared)

    def _add(self, found: Iterator[tuple[Option, Work]]) -> None:
        options = list(found)
        self.blocks.append(tuple(option for option, _ in options))
        self.works.append({option.name: work for option, work in options})

    def _filled(self, roles: Sequence[RoleId]) -> Iterator[tuple[Option, Work]]:
        places = [place for role in roles for place in self.hub.places if place.role == role]
        ways = [list(self._ways(place)) for place in places]
        count = 1
        for way in ways:
            count *= len(way)
        if count > MAX_FILLINGS:
            raise BoundExceeded
        for chosen in product(*ways):
            found = self._option(chosen)
            if found is not None:
                yield found

    def _ways(self, place: Place) -> Iterator[Filling]:
        catalogue = self.hub.compiled.catalogue
        matters = any(catalogue.capabilities[name].releases.get(place.role) for name in self.wanted)
        for each in fillings(self.standing, self.hub, place, self.offers):
            if each.kept or self.allowed.boards:
                yield each
                newer = loaded(self.hub, each) if matters and self.allowed.loads else None
                if newer is not None:
                    yield newer

    def _option(self, chosen: tuple[Filling, ...]) -> tuple[Option, Work] | None:
        judged = _judged(self.standing, self.hub, chosen)
        if judged is None:
            return None
        steps = self._steps(chosen, judged)
        if steps is None:
            return None
        own = tuple(step for step in steps if step.place is not None)
        bought = [each for each in chosen if each.bought is not None]
        option = Option(
            name=" + ".join(each.name for each in chosen),
            burden=self._burden(own).plus(Burden(sum(map(_price, bought), Fraction(0)))),
            gives=met(self.hub, self.wanted, chosen),
            calls=self._called(steps),
            takes=Counter(each.serial for each in bought if each.serial is not None),
        )
        return option, Work(fillings=chosen, steps=own)

    def _steps(
        self, chosen: tuple[Filling, ...], judged: Mapping[Place, tuple[Board, Verdict]]
    ) -> list[Step] | None:
        """The steps of this block alone; None where the family has no such step, or takes no session."""
        steps, _ = plan(world_of(self.standing, self.hub, chosen, judged, session=self.session))
        for each in chosen:
            if each.load:
                procedure = self.hub.procedures.get(StepKind.LOAD)
                if procedure is None:
                    return None
                steps.append(
                    Step(kind=StepKind.LOAD, place=each.place, old=False, procedure=procedure, undoable=True)
                )
        return steps if self.session or not any(step.procedure.tool for step in steps) else None

    def _called(self, steps: Sequence[Step]) -> frozenset[str]:
        common = {_name(step): step for step in steps if step.place is None}
        self.shared.update(common)
        tool = {SESSION} if any(step.procedure.tool for step in steps) else set()
        return frozenset(common.keys() | tool)

    def _burden(self, steps: Sequence[Step]) -> Burden:
        return burden_of_steps(self.offers, steps)

    def _accessories(self) -> list[str]:
        capabilities = self.hub.compiled.catalogue.capabilities
        return sorted({a for name in self.wanted if (a := capabilities[name].accessory)})

    def _bought(self, accessory: str) -> Iterator[tuple[Option, Work]]:
        """As it is, or as many more as are wanted; each want says how many it needs."""
        there = fitted_now(self.hub.compiled.catalogue, self.standing.accessories, accessory)
        wanted = _amounts(self.hub, self.wanted, accessory)
        offer = self._offer(accessory)
        for total in sorted({there, *(amount for amount in wanted.values() if amount > there)}):
            more = total - there
            if more and (offer is None or not self.allowed.accessories):
                continue
            steps = self._fitting(more)
            gives = {need for need, amount in wanted.items() if amount <= total}
            price = Fraction(offer.price) * more if offer else Fraction(0)
            option = Option(
                name=f"{accessory} {total}",
                burden=self._burden(steps).plus(Burden(price)),
                gives=frozenset(gives),
                calls=frozenset({SESSION} if any(step.procedure.tool for step in steps) else ()),
            )
            if self.session or not option.calls:
                yield option, Work(accessories={accessory: more} if more else {}, steps=steps)

    def _offer(self, accessory: str) -> AccessoryOffer | None:
        upgrades = self.hub.compiled.catalogue.upgrades
        return upgrades.accessories.get(accessory) if upgrades else None

    def _fitting(self, count: int) -> tuple[Step, ...]:
        procedure = self.hub.procedures.get(StepKind.FIT_ACCESSORY)
        if procedure is None:
            return ()
        step = Step(kind=StepKind.FIT_ACCESSORY, place=None, old=False, procedure=procedure, undoable=True)
        return (step,) * count


def frame(
    standing: Standing, hub: Hub, wanted: Wanted, offers: Offers, allowed: Allowed, *, session: bool
) -> Framed:
    """The task of bringing a unit to what is wanted, as one of the target's model. `session`: whether work
    with the programming tool is among it; the best of both is the best of all. Raises BoundExceeded."""
    return _Framing(standing, hub, wanted, offers, allowed, session).framed()


def fitted_now(catalogue: Catalogue, known: Mapping[str, int], accessory: str) -> int:
    """How many of an accessory are fitted. Where nobody wrote it down, one of what is counted: a machine
    does not run without a battery pack."""
    counted = any(each.is_count and each.accessory == accessory for each in catalogue.capabilities.values())
    return known.get(accessory, 1 if counted else 0)


def burden_of_steps(offers: Offers, steps: Sequence[Step]) -> Burden:
    """What steps cost: the most minutes that each may take, those of the owner not charged."""
    minutes = sum(step.procedure.minutes[1] for step in steps)
    charged = sum(step.procedure.minutes[1] for step in steps if step.procedure.who is not Who.OWNER)
    return Burden(offers.labour(charged), sum(not step.undoable for step in steps), minutes)


def world_of(
    standing: Standing,
    hub: Hub,
    chosen: Sequence[Filling],
    judged: Mapping[Place, tuple[Board, Verdict]],
    *,
    session: bool,
) -> World:
    """The world of these places, for the planner."""
    return World(
        hub=hub,
        boards=judged,
        replaced={
            each.place: standing.boards[each.place].part
            for each in chosen
            if not each.kept and each.place in standing.boards
        },
        second_hand=frozenset(place for place, (board, _) in judged.items() if _second_hand(board)),
        unread=frozenset(_unread(standing, hub, chosen, judged)),
        session=session,
    )


def _groups(hub: Hub) -> list[tuple[RoleId, ...]]:
    """The roles of each block: those that bind together, the others one by one."""
    binding = {
        hub.parts[number].role
        for number in hub.owner.reached
        if hub.parts[number].binding is not BindingPolicy.FREE
    }
    joined = tuple(role for role in hub.roles if role in binding)
    single: list[tuple[RoleId, ...]] = [(role,) for role in hub.roles if role not in binding]
    return [joined, *single] if joined else single


def judged_boards(hub: Hub, chosen: Sequence[Filling]) -> dict[Place, Board]:
    """The boards as they would stand there: a follower stays introduced only where nothing changed."""
    changed = {each.place for each in chosen if not each.kept}
    naming_changed = any(place.role == hub.naming_role for place in changed)
    return {
        each.place: each.board._replace(introduced=False) if naming_changed else each.board
        for each in chosen
        if each.board is not None
    }


def _judged(
    standing: Standing, hub: Hub, chosen: Sequence[Filling]
) -> dict[Place, tuple[Board, Verdict]] | None:
    """Each board with what the rules say of it; None where one of them does not fit."""
    found = {place: (board, verdict(hub, board)) for place, board in judged_boards(hub, chosen).items()}
    if any(said.rank <= OUT_OF_SCOPE for _, said in found.values()):
        return None
    if hub.model.id == standing.hub.model.id:
        return found
    return {place: (board, _with_issued_serial(hub, board, said)) for place, (board, said) in found.items()}


def _with_issued_serial(hub: Hub, board: Board, said: Verdict) -> Verdict:
    """A machine that becomes another model carries the serial issued for it, never one of another machine:
    it is entered into the naming board, whatever that one holds."""
    if board.place.role != hub.naming_role or StepKind.ENTER_SERIAL in said.needs:
        return said
    rank = FITS_WITH_TOOL if StepKind.ENTER_SERIAL in hub.tool_steps else said.rank
    return said._replace(rank=rank, needs=(StepKind.ENTER_SERIAL, *said.needs))


def _price(filling: Filling) -> Fraction:
    """Of the board and of what goes with its swap."""
    assert filling.bought is not None
    companions = sum((Fraction(each.price) for each in filling.bought.companions if each.price), Fraction(0))
    return Fraction(filling.price or 0) + companions


def _second_hand(board: Board) -> bool:
    return board.proposed and board.binding is not None and board.holds in (Holds.IDLE, Holds.IN_SERVICE)


def _unread(
    standing: Standing,
    hub: Hub,
    chosen: Sequence[Filling],
    judged: Mapping[Place, tuple[Board, Verdict]],
) -> Iterator[Place]:
    """A new board is read as soon as it can be: "new in its box" is a claim. So is a naming board that stays,
    where it gives a follower its model and nobody has read it."""
    assigns = any(StepKind.ASSIGN in said.needs for _, said in judged.values())
    for each in chosen:
        if each.bought is not None and each.serial is None and binds(hub, each):
            yield each.place
        names = each.place.role == hub.naming_role and each.board is not None and each.board.binding
        if each.kept and names and assigns and each.place not in standing.read:
            yield each.place


def _amounts(hub: Hub, wanted: Wanted, accessory: str) -> dict[str, int]:
    """Per need of this accessory, how many of it."""
    capabilities = hub.compiled.catalogue.capabilities
    return {
        accessory_need(capabilities[name]): amount if capabilities[name].is_count else 1
        for name, amount in wanted.items()
        if capabilities[name].accessory == accessory
    }


def _name(step: Step) -> str:
    return f"{step.kind} {step.procedure.subject}"
