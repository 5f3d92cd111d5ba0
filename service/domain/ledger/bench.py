"""The state of boards and units on the bench, and what is held against them."""

from __future__ import annotations

from service.domain.facts.records import Hold
from service.domain.ledger.event import Event
from service.domain.ledger.placing import described
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import Condition

SCRAPPED = frozenset({Condition.SCRAPPED})


def tested_board(state: BoardState, event: Event) -> BoardState:
    passed: bool = event.data["passed"]
    return _in_condition(state, Condition.USABLE if passed else Condition.FAILED, tested=passed)


def exposed_board(state: BoardState, event: Event) -> BoardState:
    """Exposed until it passes a test; an exposure nobody is sure of leaves both possible."""
    if event.data.get("certain", True):
        return _in_condition(state, Condition.EXPOSED)
    return _in_condition(state, Condition.EXPOSED, *state.record.conditions)


def scrapped_board(state: BoardState, event: Event) -> BoardState:
    return _in_condition(state, Condition.SCRAPPED)._replace(scrapped=state.scrapped or event.seq)


def ended_unit(state: UnitState, event: Event) -> UnitState:
    ended = state.ended or event.seq
    return state._replace(record=state.record._replace(in_service=False), ended=ended)


def accessory_fitted(state: UnitState, event: Event) -> UnitState:
    """The event says how many are fitted now, so recording it twice does no harm."""
    fitted = {**state.record.accessories, event.data["accessory"]: event.data["amount"]}
    present = {name: amount for name, amount in fitted.items() if amount}
    return state._replace(record=state.record._replace(accessories=present))


def hold_placed_board(state: BoardState, event: Event) -> BoardState:
    return state._replace(record=state.record._replace(holds=_held(state.record.holds, event)))


def hold_placed_unit(state: UnitState, event: Event) -> UnitState:
    return state._replace(record=state.record._replace(holds=_held(state.record.holds, event)))


def hold_lifted_board(state: BoardState, event: Event) -> BoardState:
    return state._replace(record=state.record._replace(holds=_lifted(state.record.holds, event)))


def hold_lifted_unit(state: UnitState, event: Event) -> UnitState:
    return state._replace(record=state.record._replace(holds=_lifted(state.record.holds, event)))


def corrected_board(state: BoardState, event: Event) -> BoardState:
    """The new reading that came with a correction; what it withdraws is left out by the fold."""
    if event.data.get("board") != state.record.serial:
        return state
    return state._replace(record=described(state.record, event.data))


def _in_condition(state: BoardState, *conditions: Condition, tested: bool = False) -> BoardState:
    """A scrapped board stays scrapped; only a correction brings it back."""
    if state.record.conditions == SCRAPPED:
        return state
    return state._replace(record=state.record._replace(conditions=frozenset(conditions), tested=tested))


def _held(holds: tuple[Hold, ...], event: Event) -> tuple[Hold, ...]:
    return (*holds, Hold(kind=event.data["hold"], since=event.seq))


def _lifted(holds: tuple[Hold, ...], event: Event) -> tuple[Hold, ...]:
    return tuple(hold for hold in holds if hold.since != event.data["placed"])
