"""Rule 7, and how a board gets its model: who can assign a follower, and what a swap must program.

The naming board carries the unit's serial, and the serial fixes the model. A board that follows is
assigned its model by the naming board beside it, and the two are introduced to each other. Each of
these binds permanently or ends with the next swap, so each is a need of its own here.
"""

from __future__ import annotations

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import BindingPolicy, Holds, Rule, StepKind


def can_be_assigned(hub: Hub, board: Board) -> Finding | None:
    """Rule 7: a blank follower needs a naming board beside it. One that is blank too is enough,
    it can be bound in the same plan."""
    if board.namer or board.binding is not None or _policy(hub, board) is not BindingPolicy.FOLLOWS:
        return None
    return finding(
        "nothing_assigns_it", Rule.ASSIGNABLE, board.place, "binding", ("unit_model", hub.model.id)
    )


def naming_needs(hub: Hub, board: Board) -> tuple[StepKind, ...]:
    """A naming board gets the unit's serial when it is blank, or holds one that it must not keep. Into one
    that stays it can't be entered where the family lets no other take the place of one in service."""
    if board.binding is None:
        return (StepKind.ENTER_SERIAL,)
    if board.holds is Holds.THIS_UNIT:
        return ()
    in_service = board.holds is Holds.IN_SERVICE
    must = in_service or hub.family.always_enter_serial
    may = hub.family.another_serial_allowed or not in_service
    return (StepKind.ENTER_SERIAL,) if must and may else ()


def follower_needs(hub: Hub, board: Board) -> tuple[StepKind, ...]:
    """A follower is assigned its model when blank, and introduced unless it already was.

    Where the family's blank followers bind at first power-on, both happen without the tool. Where no
    naming board stands beside it there is nobody to be introduced to.
    """
    if board.binding is None:
        if hub.family.power_on_binds:
            return ()
        return (StepKind.ASSIGN,) if board.introduced else (StepKind.ASSIGN, StepKind.INTRODUCE)
    return () if board.introduced or not board.namer else (StepKind.INTRODUCE,)


def free_needs(hub: Hub, board: Board) -> tuple[StepKind, ...]:
    """What the family says a newly fitted free part still needs."""
    return hub.family.free_part_needs.get(board.place.role, ()) if board.comes else ()


def needs(hub: Hub, board: Board) -> tuple[StepKind, ...]:
    """The steps, beyond fitting it, that this board needs in a world where the set fits."""
    match _policy(hub, board):
        case BindingPolicy.NAMES:
            return naming_needs(hub, board)
        case BindingPolicy.FOLLOWS:
            return follower_needs(hub, board)
        case BindingPolicy.FREE:
            return free_needs(hub, board)


def _policy(hub: Hub, board: Board) -> BindingPolicy:
    return hub.parts[board.part].binding
