"""The transition table: for each kind of step, when it is refused and what it changes.

It serves the steps of an answer and the planner. A refusal is a code; an action with no refusal may
be applied. The order of work is the family's data, the laws here hold in any order.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.steps.loads import load_refusals, loaded
from service.domain.steps.setup import Action, Fitted, Setup
from service.domain.terms import BindingPolicy, Holds, StepKind


class Transition(NamedTuple):
    """The law of one kind of step."""

    refusals: Callable[[Hub, Setup, Action], list[str]]
    apply: Callable[[Hub, Setup, Action], Setup]


class Refused(Exception):
    """A step was applied to a setup that refuses it; `codes` say why."""

    def __init__(self, action: Action, codes: list[str]) -> None:
        super().__init__(f"{action.kind} at {action.place}: {', '.join(codes)}")
        self.codes = codes


def perform(hub: Hub, setup: Setup, action: Action) -> Setup:
    """The setup after one step. Raises Refused."""
    transition = TRANSITIONS[action.kind]
    codes = transition.refusals(hub, setup, action)
    if codes:
        raise Refused(action, codes)
    return transition.apply(hub, setup, action)


def namer(hub: Hub, setup: Setup) -> Fitted | None:
    """The naming board of a setup."""
    return next((b for p, b in setup.boards.items() if p.role == hub.naming_role), None)


def _place(action: Action) -> Place:
    """The place of an action that has one."""
    assert action.place is not None
    return action.place


def _policy(hub: Hub, board: Fitted) -> BindingPolicy:
    return hub.parts[board.part].binding


def _there(_hub: Hub, setup: Setup, action: Action) -> list[str]:
    """Most steps need a board in the place."""
    return [] if action.place is None or action.place in setup.boards else ["place_is_empty"]


def _unchanged(_hub: Hub, setup: Setup, _action: Action) -> Setup:
    return setup


def _refuse_mount(_hub: Hub, setup: Setup, action: Action) -> list[str]:
    return ["place_is_taken"] if action.place in setup.boards else []


def _mount(hub: Hub, setup: Setup, action: Action) -> Setup:
    assert action.board is not None
    return _at_power_on(hub, replace(setup.put(_place(action), action.board), let_off=None))


def _at_power_on(hub: Hub, setup: Setup) -> Setup:
    """Where the family says so, a blank follower takes the model of a bound naming board by itself."""
    naming = namer(hub, setup)
    if not hub.family.power_on_binds or naming is None or naming.binding is None:
        return setup
    for place, board in setup.boards.items():
        if _policy(hub, board) is BindingPolicy.FOLLOWS and board.binding is None:
            setup = setup.put(place, replace(board, binding=naming.binding, partner=naming.key))
    return setup


def _remove(_hub: Hub, setup: Setup, action: Action) -> Setup:
    return replace(setup.without(_place(action)), let_off=None)


def _refuse_enter_serial(hub: Hub, setup: Setup, action: Action) -> list[str]:
    board = setup.boards.get(_place(action))
    if board is None:
        return ["place_is_empty"]
    codes = []
    if _policy(hub, board) is not BindingPolicy.NAMES:
        codes.append("does_not_name")
    if board.binding not in (None, setup.model):
        codes.append("bound_to_other_model")
    if board.holds is Holds.IN_SERVICE and not hub.family.another_serial_allowed:
        codes.append("serial_in_service_elsewhere")
    return codes


def _enter_serial(hub: Hub, setup: Setup, action: Action) -> Setup:
    place = _place(action)
    board = replace(setup.boards[place], binding=setup.model, holds=Holds.THIS_UNIT)
    return _at_power_on(hub, setup.put(place, board))


def _refuse_assign(hub: Hub, setup: Setup, action: Action) -> list[str]:
    board = setup.boards.get(_place(action))
    if board is None:
        return ["place_is_empty"]
    codes = []
    if _policy(hub, board) is not BindingPolicy.FOLLOWS:
        codes.append("does_not_follow")
    if board.binding is not None:
        codes.append("already_bound")
    naming = namer(hub, setup)
    if naming is None:
        codes.append("nothing_assigns_it")
    elif naming.binding is None:
        codes.append("naming_board_is_blank")
    return codes


def _assign(hub: Hub, setup: Setup, action: Action) -> Setup:
    naming = namer(hub, setup)
    assert naming is not None
    place = _place(action)
    return setup.put(place, replace(setup.boards[place], binding=naming.binding))


def _refuse_introduce(hub: Hub, setup: Setup, action: Action) -> list[str]:
    board = setup.boards.get(_place(action))
    naming = namer(hub, setup)
    if board is None or naming is None:
        return ["place_is_empty"]
    if board.binding is None or naming.binding is None:
        return ["board_is_blank"]
    return [] if board.binding == naming.binding else ["boards_disagree"]


def _introduce(hub: Hub, setup: Setup, action: Action) -> Setup:
    naming = namer(hub, setup)
    assert naming is not None
    place = _place(action)
    return setup.put(place, replace(setup.boards[place], partner=naming.key))


def _refuse_load(hub: Hub, setup: Setup, action: Action) -> list[str]:
    codes = _there(hub, setup, action)
    if action.place and not hub.compiled.catalogue.roles[action.place.role].releases:
        codes.append("carries_no_software")
    return [*codes, *load_refusals(hub, setup, action)]


def _fit_accessory(_hub: Hub, setup: Setup, action: Action) -> Setup:
    count = setup.accessories.get(action.accessory, 0) + 1
    return replace(setup, accessories={**setup.accessories, action.accessory: count})


TRANSITIONS: Mapping[StepKind, Transition] = {
    StepKind.READ_OUT: Transition(_there, _unchanged),
    StepKind.REMOVE: Transition(_there, _remove),
    StepKind.MOUNT: Transition(_refuse_mount, _mount),
    StepKind.LOAD: Transition(_refuse_load, loaded),
    StepKind.ENTER_SERIAL: Transition(_refuse_enter_serial, _enter_serial),
    StepKind.ASSIGN: Transition(_refuse_assign, _assign),
    StepKind.INTRODUCE: Transition(_refuse_introduce, _introduce),
    StepKind.CALIBRATE: Transition(_there, _unchanged),
    StepKind.ERASE_OWNER_DATA: Transition(_there, _unchanged),
    StepKind.FIT_ACCESSORY: Transition(lambda *_: [], _fit_accessory),
    StepKind.ACTIVATE: Transition(lambda *_: [], _unchanged),
    StepKind.SELF_TEST: Transition(lambda *_: [], _unchanged),
}
