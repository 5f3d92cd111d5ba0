"""A machine turned into another model: one unit ends, another begins with the boards that stay."""

from __future__ import annotations

from service.domain.ledger import bench, seating
from service.domain.ledger.event import Event
from service.domain.ledger.meeting import met_at
from service.domain.ledger.placing import described, located_unit, plated
from service.domain.ledger.states import BoardState, UnitState


def converted_board(state: BoardState, event: Event) -> BoardState:
    """A board that stays in the machine sits in the unit that it is now."""
    block = next(entry for entry in event.data["boards"] if entry["board"] == state.record.serial)
    met = met_at(state.record, {**block, "unit": event.data["unit"]}, event.data["model"])
    record = described(met, block)
    return state._replace(record=seating.located(record, {**block, "unit": event.data["into"]}))


def converted_unit(state: UnitState, event: Event) -> UnitState:
    """The unit as it was ends for good; the one that it is now was fitted by no factory."""
    data = event.data
    if data["unit"] == state.record.serial:
        return bench.ended_unit(state, event)
    state = plated(state, data)
    state = state._replace(record=state.record._replace(converted=True))
    for block in data.get("boards", ()):
        state = located_unit(state, block)
    return state
