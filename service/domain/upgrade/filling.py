"""The ways to fill one place: keep what sits there, take a board from stock, or order a new one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Part
from service.domain.place import Place
from service.domain.rules.board import Board
from service.domain.rules.listed import has_role, is_listed
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import plans
from service.domain.software.task import Board as SoftwareBoard
from service.domain.software.task import Task as SoftwareTask
from service.domain.software.task import all_that_runs
from service.domain.terms import BindingPolicy, Condition, Holds, PartNumber, Serial
from service.domain.upgrade.offers import StockBoard
from service.domain.upgrade.standing import Standing

NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Filling:
    """One way to fill one place. Without a board the place stays empty."""

    place: Place
    board: Board | None
    name: str
    """Orders what costs the same: what stays comes first, then what is in stock."""
    bought: Part | None = None
    price: Decimal | None = None
    cost: Fraction = NOTHING
    """Of the board and of what goes with its swap."""
    lead_days: int | None = None
    serial: Serial | None = None
    """Of a board from stock."""
    release: int | None = None
    """In the end; None where nobody knows."""
    before: int | None = None
    """What is on it before anything is loaded; None where nobody knows."""
    loads: tuple[int, ...] = ()
    """The releases that are loaded into it, by position, in order."""
    taken_out: bool = False
    """What sits there comes out, and nothing goes in: the model can do without, or has no such place."""

    @property
    def kept(self) -> bool:
        """Whether the board that sits there stays, or the place stays empty."""
        return self.bought is None and not self.taken_out

    @property
    def known_as(self) -> Serial | Place | None:
        """The board there, for those that know it: one from stock by its serial, one that stays by its
        place. None: nobody knows a new one."""
        return self.place if self.kept else self.serial


def kept(standing: Standing, hub: Hub, place: Place) -> Iterator[Filling]:
    """The place as it is, once; not at all where it can't be left so."""
    board = standing.boards.get(place)
    if place not in hub.order:
        return
    if board is None:
        if not hub.roles[place.role].required:
            yield Filling(place=place, board=None, name="0 empty")
        return
    # A machine that becomes another model keeps only what is listed for that one.
    if hub.model.id != standing.hub.model.id and (has_role(hub, board) or is_listed(hub, board)):
        return
    release = standing.releases.get(place)
    yield Filling(place=place, board=board, name="0 keep", release=release)


def taken_out(standing: Standing, hub: Hub, place: Place) -> Iterator[Filling]:
    """What sits there comes out, where the model has no such place or can do without a board there."""
    if place not in standing.boards:
        return
    needed = place in hub.order and (place.role == hub.naming_role or hub.roles[place.role].required)
    if not needed:
        yield Filling(place=place, board=None, name="3 out", lead_days=0, taken_out=True)


def from_stock(hub: Hub, place: Place, of: StockBoard) -> Filling:
    """A board from the shelf."""
    return Filling(
        place=place,
        board=_proposed(hub, place, of.part)._replace(binding=of.binding, holds=of.holds),
        name=f"1 {of.serial}",
        bought=hub.parts[of.part],
        price=of.price,
        cost=_cost(hub.parts[of.part], of.price),
        lead_days=0,
        serial=of.serial,
        release=of.release,
    )


def ordered(hub: Hub, place: Place) -> Iterator[Filling]:
    """New boards. A part without a price can't be offered."""
    if place not in hub.order:
        return
    for number in hub.compiled.parts_of_role.get(place.role, ()):
        part = hub.parts[number]
        if part.price is not None and hub.lists(number) and hub.sells(number):
            yield Filling(
                place=place,
                board=_proposed(hub, place, number),
                name=f"2 {number}",
                bought=part,
                price=part.price,
                cost=_cost(part, part.price),
                lead_days=part.lead_days,
                release=part.release,
            )


def _cost(part: Part, price: Decimal | None) -> Fraction:
    return sum((Fraction(each.price) for each in part.companions if each.price), Fraction(price or 0))


def _proposed(hub: Hub, place: Place, part: PartNumber) -> Board:
    namer = hub.naming_role is not None
    return Board(place, part, None, Holds.NOTHING, Condition.USABLE, False, True, namer)


def loaded(hub: Hub, filling: Filling) -> Filling | None:
    """The same with the newest release loaded that runs there; None where there is nothing to load, or no
    way to it."""
    if filling.board is None:
        return None
    course = _course(hub, filling.place, filling.board.part, filling.release)
    if not course:
        return None
    return replace(
        filling, before=filling.release, release=course[-1], loads=course, name=f"{filling.name} loaded"
    )


@lru_cache(maxsize=4_096)
def _course(hub: Hub, place: Place, part: PartNumber, release: int | None) -> tuple[int, ...]:
    """The releases to load one after the other, by position, until the newest that runs on the part is there.
    Where nobody knows what is on it now, as many as it may take. What is beside it is another matter."""
    newest = len(hub.compiled.catalogue.roles[place.role].releases) - 1
    software = hub.compiled.catalogue.software
    listed = software.releases.get(place.role)
    if listed is None:
        return (newest,) if newest >= 0 and release != newest else ()
    now = all_that_runs(software, place.role, part) if release is None else (listed[-1 - release].version,)
    board = SoftwareBoard(place=place, part=part, may_carry=frozenset(now) or frozenset((None,)))
    found = plans(SoftwareTask(software=software, model=hub.model.id, boards=(board,)))
    cases = [case for block in found.blocks for case in block.cases]
    if any(case.outcome is not PlanOutcome.PLAN for case in cases):
        return ()
    longest = max((case.loads for case in cases), key=len, default=())
    return tuple(newest - [each.version for each in listed].index(load.version) for load in longest)


def binds(hub: Hub, filling: Filling) -> bool:
    """Whether the board there names the model or follows it."""
    return filling.board is not None and hub.parts[filling.board.part].binding is not BindingPolicy.FREE
