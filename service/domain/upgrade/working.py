"""The work on the places of a block, by the one planner (`steps.plan`)."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.steps.plan import Step, World, plan
from service.domain.terms import StepKind, Who
from service.domain.upgrade.bringing import Loads
from service.domain.upgrade.seats import REMEMBERED, Seat


class Effort(NamedTuple):
    """What steps take, whatever an hour costs."""

    lasting: int
    """Steps that can't be undone."""
    minutes: int
    """The most that each may take, together."""
    charged: int
    """Those that are not the owner's own."""


class Worked(NamedTuple):
    """The work on some places."""

    own: tuple[Step, ...]
    """Steps that have a place."""
    common: tuple[Step, ...]
    """Steps of the whole machine, which are done once, however many places call for them."""
    takes_tool: bool
    effort: Effort
    """Of the steps that have a place."""
    who: frozenset[Who]
    """Who works, on steps with a place and on others."""


@lru_cache(maxsize=REMEMBERED)
def worked(hub: Hub, seats: tuple[Seat, ...], loads: Loads, *, session: bool) -> Worked | None:
    """The work on a block alone; None where the family has no such step, or it takes the tool and there is
    no session with it. Where a session makes no difference it is the very same object."""
    if StepKind.LOAD not in hub.procedures and loads:
        return None
    found = _worked(hub, seats, loads, session=session)
    without = worked(hub, seats, loads, session=False) if session else None
    return without if found == without else found


def _worked(hub: Hub, seats: tuple[Seat, ...], loads: Loads, *, session: bool) -> Worked | None:
    steps, _ = plan(world_of(hub, seats, loads, session=session))
    takes_tool = takes_the_tool(steps)
    if takes_tool and not session:
        return None
    own = tuple(step for step in steps if step.place is not None)
    common = tuple(step for step in steps if step.place is None)
    return Worked(own, common, takes_tool, effort_of(own), who_works(steps))


def world_of(hub: Hub, seats: Iterable[Seat], loads: Loads, *, session: bool) -> World:
    """The world of these places, for the planner."""
    known = tuple(seats)
    return World(
        hub=hub,
        boards={
            s.place: (s.board, s.verdict) for s in known if s.board is not None and s.verdict is not None
        },
        replaced={seat.place: seat.replaced for seat in known if seat.replaced is not None},
        second_hand=frozenset(seat.place for seat in known if seat.second_hand),
        unread=frozenset(seat.place for seat in known if seat.unread),
        session=session,
        loads=loads,
    )


def effort_of(steps: Iterable[Step]) -> Effort:
    """What these steps take."""
    lasting = minutes = charged = 0
    for step in steps:
        most = step.procedure.minutes[1]
        lasting += not step.undoable
        minutes += most
        charged += most if step.procedure.who is not Who.OWNER else 0
    return Effort(lasting, minutes, charged)


def who_works(steps: Iterable[Step]) -> frozenset[Who]:
    """Who does these steps."""
    return frozenset(step.procedure.who for step in steps)


def takes_the_tool(steps: Iterable[Step]) -> bool:
    """Whether any of them takes the programming tool."""
    return any(step.procedure.tool for step in steps)
