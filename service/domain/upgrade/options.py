"""The options of a block: every way to fill its places that the rules allow, with its work and its cost.

What the rules refuse is no option, and the steps of an option are those of the one planner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

from service.domain.place import Place
from service.domain.steps.plan import Step
from service.domain.upgrade.accessories import Fitting, fittings
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.bringing import brought_together
from service.domain.upgrade.filling import NOTHING, Filling
from service.domain.upgrade.seats import Seat
from service.domain.upgrade.task import FREE, BoundExceeded, Burden, Option
from service.domain.upgrade.wanted import Need, met
from service.domain.upgrade.ways import Ways
from service.domain.upgrade.working import Effort, Worked, effort_of, takes_the_tool, who_works, worked

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
    """Those with a place, and those of accessories."""
    common: tuple[Step, ...] = ()
    """Those that are shared with other options."""


Found = tuple[Option, Work]


class Options:
    """The options of one aim. What several approaches have in common is made once."""

    def __init__(self, aim: Aim) -> None:
        """Take what the plan is for."""
        self.aim = aim
        self._ways = Ways(aim)
        self._made: dict[tuple[Place, str], tuple[Worked, Found]] = {}
        self._unchanged: dict[tuple[Place, ...], tuple[tuple[Filling, ...], tuple[Seat, ...] | None]] = {}
        self._labour: dict[int, Fraction] = {}

    def of_boards(self, places: tuple[Place, ...], allowed: Allowed, *, session: bool) -> list[Found]:
        """Those of the places of a block. One that may stay as it is, with nothing to do and nothing to gain,
        does so. Raises BoundExceeded."""
        needs = self.aim.needs_in({place.role for place in places})
        stays = self._staying(places, needs, session=session)
        if stays is not None:
            return [stays]
        ways = [self._ways.of(place, allowed) for place in places]
        if prod(map(len, ways)) > MAX_FILLINGS:
            raise BoundExceeded
        seated = self._ways.seating.seated
        found = (self._option(chosen, seated(chosen), needs, session=session) for chosen in product(*ways))
        return [each for each in found if each is not None]

    def of_accessory(self, accessory: str, allowed: Allowed, *, session: bool) -> list[Found]:
        """Those of an accessory."""
        return [
            self._fitted(each)
            for each in fittings(self.aim, accessory, allowed=allowed.accessories)
            if (session or not takes_the_tool(each.steps))
            and who_works(each.steps) <= self.aim.offers.workers
        ]

    def burden(self, effort: Effort, price: Fraction = NOTHING) -> Burden:
        """What work and goods come to together."""
        labour = self._labour.get(effort.charged)
        if labour is None:
            labour = self._labour[effort.charged] = self.aim.offers.labour(effort.charged)
        return Burden(price + labour if price else labour, effort.lasting, effort.minutes)

    def _staying(self, places: tuple[Place, ...], needs: Sequence[Need], *, session: bool) -> Found | None:
        """The option that changes nothing, where no other can be better."""
        if places not in self._unchanged:
            chosen = [filling for place in places for filling in self._ways.staying(place)]
            seats = self._ways.seating.seated(chosen) if len(chosen) == len(places) else None
            self._unchanged[places] = tuple(chosen), seats
        found = self._option(*self._unchanged[places], needs, session=session)
        if found is None:
            return None
        idle = found[0].burden == FREE and not found[0].calls
        return found if idle and len(found[0].gives) == len({need.name for need in needs}) else None

    def _option(
        self,
        chosen: tuple[Filling, ...],
        seats: tuple[Seat, ...] | None,
        needs: Sequence[Need],
        *,
        session: bool,
    ) -> Found | None:
        brought = brought_together(self.aim.hub, chosen) if seats is not None else None
        if seats is None or brought is None:
            return None
        chosen, loads = brought
        done = worked(self.aim.hub, seats, loads, session=session)
        if done is None or not done.who <= self.aim.offers.workers:
            return None
        key = chosen[0].place, " + ".join([each.name for each in chosen])
        made = self._made.get(key)
        if made is None or made[0] is not done:
            made = self._made[key] = done, self._filled(key[1], chosen, needs, done)
        return made[1]

    def _filled(self, name: str, chosen: tuple[Filling, ...], needs: Sequence[Need], done: Worked) -> Found:
        option = Option(
            name=name,
            burden=self.burden(done.effort, sum((each.cost for each in chosen if each.cost), NOTHING)),
            gives=met(self.aim.hub, needs, chosen) if needs else frozenset(),
            calls=_called(done.common, takes_tool=done.takes_tool),
            takes=_counted(each.serial for each in chosen if each.serial is not None),
        )
        return option, Work(fillings=chosen, steps=done.own, common=done.common)

    def _fitted(self, fitting: Fitting) -> Found:
        option = Option(
            name=f"{fitting.accessory} {fitting.total}",
            burden=self.burden(effort_of(fitting.steps), fitting.price),
            gives=fitting.gives,
            calls=_called((), takes_tool=takes_the_tool(fitting.steps)),
        )
        return option, Work(fitting=fitting, steps=fitting.steps)


def name_of(common: Step) -> str:
    """The name under which a shared step is paid for."""
    return f"{common.kind} {common.procedure.subject}"


def _called(common: Sequence[Step], *, takes_tool: bool) -> frozenset[str]:
    return frozenset([*map(name_of, common), *([SESSION] if takes_tool else ())])


def _counted(serials: Iterable[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for serial in serials:
        found[serial] = found.get(serial, 0) + 1
    return found
