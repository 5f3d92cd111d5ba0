"""From events to states: a pure fold, in order of sequence.

A correction withdraws one event by its number: states are folded as if that had never been recorded.
It still counts in the version, for somebody may have relied on it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from service.domain.ledger.event import Event, EventKind, SubjectKind
from service.domain.ledger.kinds import kind_of
from service.domain.ledger.states import BoardState, UnitState, new_board, new_unit
from service.domain.terms import Serial


@dataclass(slots=True)
class States:
    """The states of boards and units at one moment of a fold."""

    boards: dict[Serial, BoardState] = field(default_factory=dict)
    units: dict[Serial, UnitState] = field(default_factory=dict)


def withdrawn(events: Iterable[Event]) -> frozenset[int]:
    """Numbers of the events that corrections among these withdraw."""
    return frozenset(event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED)


def apply_board(state: BoardState, event: Event) -> BoardState:
    """The board after one more event that speaks of it. Raises UnknownKind."""
    return _counted_board(kind_of(event.kind).on_board(state, event))


def apply_unit(state: UnitState, event: Event) -> UnitState:
    """The unit after one more event that speaks of it. Raises UnknownKind."""
    return _counted_unit(kind_of(event.kind).on_unit(state, event))


def fold_board(serial: Serial, events: Sequence[Event]) -> BoardState:
    """The board after all events that speak of it. `events` are exactly those, in order of sequence."""
    state, void = new_board(serial), withdrawn(events)
    for event in events:
        state = _counted_board(state) if event.seq in void else apply_board(state, event)
    return state


def fold_unit(serial: Serial, events: Sequence[Event]) -> UnitState:
    """The unit after all events that speak of it. `events` are exactly those, in order of sequence."""
    state, void = new_unit(serial), withdrawn(events)
    for event in events:
        state = _counted_unit(state) if event.seq in void else apply_unit(state, event)
    return state


def step(states: States, event: Event, *, withdrawn: bool = False) -> None:
    """Take one event into account, in place: the states of its subjects, and of nothing else."""
    for kind, serial in event.subjects:
        if kind is SubjectKind.BOARD:
            board = states.boards.get(serial) or new_board(serial)
            states.boards[serial] = _counted_board(board) if withdrawn else apply_board(board, event)
        else:
            unit = states.units.get(serial) or new_unit(serial)
            states.units[serial] = _counted_unit(unit) if withdrawn else apply_unit(unit, event)


def _counted_board(state: BoardState) -> BoardState:
    return state._replace(record=state.record._replace(version=state.record.version + 1))


def _counted_unit(state: UnitState) -> UnitState:
    return state._replace(record=state.record._replace(version=state.record.version + 1))
