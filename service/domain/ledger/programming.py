"""What is done to boards with the programming tool: started, finished, or broken off."""

from __future__ import annotations

from service.domain.facts.records import BoardRecord
from service.domain.ledger import binding
from service.domain.ledger.binding import with_binding
from service.domain.ledger.event import Event, EventKind
from service.domain.ledger.meeting import met_at
from service.domain.ledger.pairs import broken_off_unit, introduced_board, introduced_unit
from service.domain.ledger.placing import located_unit, release_in
from service.domain.ledger.seating import broken_off_at, place_in
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import BindingPolicy, ModelId, Serial, StepKind

RECORDABLE = (
    StepKind.LOAD,
    StepKind.ENTER_SERIAL,
    StepKind.ASSIGN,
    StepKind.INTRODUCE,
    StepKind.CALIBRATE,
    StepKind.ERASE_OWNER_DATA,
    StepKind.ACTIVATE,
    StepKind.SELF_TEST,
)
"""Steps that are recorded as started, finished or failed; the others are event kinds of their own."""

BINDING = frozenset({StepKind.ENTER_SERIAL, StepKind.ASSIGN})
"""Steps that bind a board permanently."""

PROGRAMMING = BINDING | {StepKind.LOAD, StepKind.INTRODUCE}
"""Steps that write to a board: after one that broke off nobody knows its release."""

POLICIES = {
    StepKind.ENTER_SERIAL: BindingPolicy.NAMES,
    StepKind.ASSIGN: BindingPolicy.FOLLOWS,
    StepKind.INTRODUCE: BindingPolicy.FOLLOWS,
}
"""What a board that can have such a step done to it does with the identity of the unit."""


def step_board(state: BoardState, event: Event) -> BoardState:
    data = event.data
    if data.get("board") == state.record.serial:
        record = _written(met_at(state.record, data, data.get("model")), event)
        broke_off = event.kind == EventKind.STEP_FAILED
        state = state._replace(record=record._replace(tested=record.tested and not broke_off))
    if data["step"] == StepKind.INTRODUCE:
        certain = event.kind == EventKind.STEP_FINISHED
        return introduced_board(state, data, event.seq, certain=certain)
    return state


def step_unit(state: UnitState, event: Event) -> UnitState:
    data = event.data
    if "role" not in data:
        return state
    state = located_unit(state, {**data, "policy": policy_of(data["step"], data.get("policy"))})
    failed = event.kind == EventKind.STEP_FAILED
    if data["step"] != StepKind.INTRODUCE:
        return broken_off_at(state, place_in(data)) if failed else state
    if failed:
        return broken_off_unit(state, data, event.seq)
    return introduced_unit(state, data, event.seq, certain=event.kind == EventKind.STEP_FINISHED)


def policy_of(step: str, stated: str | None) -> str | None:
    """The policy that a step implies, else the stated one."""
    return POLICIES.get(StepKind(step), stated)


def _written(record: BoardRecord, event: Event) -> BoardRecord:
    """Whatever was written to a board may have bound it, on the way if not in the end."""
    data, step = event.data, StepKind(event.data["step"])
    if step not in PROGRAMMING:
        return record
    if "unit" in data or "model" in data:
        record = with_binding(record, binding.attempted(record.binding, data.get("model")))
    if event.kind == EventKind.STEP_FINISHED:
        return _finished(record, event, step)
    if step is StepKind.ENTER_SERIAL:
        record = record._replace(held_serial=None)
    if event.kind == EventKind.STEP_FAILED or step is StepKind.LOAD:
        record = record._replace(release=None)
    return record


def _finished(record: BoardRecord, event: Event, step: StepKind) -> BoardRecord:
    data = event.data
    if step is StepKind.LOAD:
        return record._replace(release=release_in(data))
    if step in BINDING:
        record = with_binding(record, binding.bound(record.binding, ModelId(data["model"])))
    if step is StepKind.ENTER_SERIAL:
        record = record._replace(held_serial=Serial(data["unit"]))
    return record
