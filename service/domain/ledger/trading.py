"""Boards that are sold, and come back."""

from __future__ import annotations

from service.domain.ledger.event import Event
from service.domain.ledger.placing import gone, taken_in
from service.domain.ledger.states import BoardState


def sold_board(state: BoardState, event: Event) -> BoardState:  # noqa: ARG001 - the kind alone says it
    """The board went into the customer's hands."""
    return state._replace(record=gone(state.record)._replace(sold=True))


def returned_board(state: BoardState, event: Event) -> BoardState:
    """The board is in our hands again, and whatever was done to it meanwhile is not known."""
    return state._replace(record=taken_in(state.record, event.data))
