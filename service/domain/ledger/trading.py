"""Boards that are sold, and come back."""

from __future__ import annotations

from dataclasses import replace

from service.domain.ledger.event import Event
from service.domain.ledger.placing import gone, taken_in
from service.domain.ledger.states import BoardState


def sold_board(state: BoardState, event: Event) -> BoardState:  # noqa: ARG001 - the kind alone says it
    """The board went into the customer's hands."""
    return replace(state, record=replace(gone(state.record), sold=True))


def returned_board(state: BoardState, event: Event) -> BoardState:
    """The board is in our hands again, and whatever was done to it meanwhile is not known."""
    return replace(state, record=taken_in(state.record, event.data))
