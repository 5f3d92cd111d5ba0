"""Boards coming into and out of the places of a unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from service.domain.facts.records import BoardRecord
from service.domain.ledger.states import Seating, UnitState
from service.domain.place import Place
from service.domain.terms import BindingPolicy, RoleId, Serial


def place_in(data: Mapping[str, Any]) -> Place:
    """The place that a block with `role` and, for one of several places, `place` names."""
    return Place(RoleId(data["role"]), data.get("place", ""))


def located(record: BoardRecord, data: Mapping[str, Any]) -> BoardRecord:
    """The board sits where the block says, if it says so: the board's side of `seen` and `fitted`."""
    if "role" not in data:
        return record
    role, place = place_in(data)
    return record._replace(in_unit=Serial(data["unit"]), role=role, place=place)


def with_policy(seating: Seating, place: Place, policy: str | None) -> Seating:
    """Remember which places hold boards that name or follow."""
    if policy == BindingPolicy.NAMES:
        return replace(seating, naming=place)
    if policy == BindingPolicy.FOLLOWS:
        return replace(seating, followers=seating.followers | {place})
    return seating


def seen(state: UnitState, place: Place, board: Serial) -> UnitState:
    """A board was met in a place. In a place nobody touched that is the board the factory fitted."""
    seating = state.seating
    if seating.occupants.get(place) == board:
        return state
    if place not in seating.swapped and place not in seating.occupants:
        known = {**seating.factory, place: board}
        return _seated(state._replace(seating=replace(seating, factory=known)), place, board)
    return fitted(state, place, board)


def fitted(state: UnitState, place: Place, board: Serial) -> UnitState:
    """A board was put into a place, whatever was there before."""
    return _seated(touched(state, place), place, board)


def removed(state: UnitState, place: Place, board: Serial | None) -> UnitState:
    """A board was taken out of a place; None: one whose serial could not be read."""
    if board is not None:
        state = seen(state, place, board)
    state = touched(state, place)
    left = {at: who for at, who in state.seating.occupants.items() if at != place}
    return state._replace(
        record=state.record._replace(emptied=state.record.emptied | {place}),
        seating=replace(state.seating, occupants=left),
    )


def touched(state: UnitState, place: Place) -> UnitState:
    """The place is no longer as the factory left it."""
    return broken_off_at(state, place)._replace(
        seating=replace(state.seating, swapped=state.seating.swapped | {place}),
    )


def broken_off_at(state: UnitState, place: Place) -> UnitState:
    """Work at the place did not end well: the same board sits there, in a state nobody may assume."""
    record = state.record._replace(changed=state.record.changed | {place})
    return state._replace(record=record)


def _seated(state: UnitState, place: Place, board: Serial) -> UnitState:
    return state._replace(
        record=state.record._replace(emptied=state.record.emptied - {place}),
        seating=replace(state.seating, occupants={**state.seating.occupants, place: board}),
    )
