"""Which boards and units an event is judged by, beside those that it speaks of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.domain.ledger.event import EventKind, Subject, SubjectKind
from service.domain.ledger.fold import States
from service.domain.recording.bench import spot_in
from service.domain.recording.refusal import Told
from service.domain.terms import Serial, StepKind

STEPS = frozenset({EventKind.STEP_STARTED, EventKind.STEP_FINISHED})


def boards_beside(states: States, told: Iterable[Told]) -> set[Subject]:
    """The boards that are recorded in the places of which events tell, and beside a panel that is assigned
    its model. `states` are those of the units that they speak of."""
    found: set[Subject] = set()
    for event in told:
        for unit, block in _placed(event.data):
            state = states.units.get(Serial(unit))
            if state is None:
                continue
            seats = state.seating.occupants
            here = [seats.get(spot_in(block, unit).place)] if "role" in block else []
            beside = seats.values() if event.kind in STEPS and event.data["step"] == StepKind.ASSIGN else ()
            found |= {Subject(SubjectKind.BOARD, board) for board in (*here, *beside) if board}
    return found


def units_behind(states: States, told: Iterable[Told], boards: Iterable[Serial]) -> set[Subject]:
    """The units in which these boards are recorded, and those whose serials they hold."""
    known = [states.boards[board].record for board in boards if board in states.boards]
    units = {unit for record in known for unit in (record.in_unit, record.held_serial) if unit}
    units |= {Serial(unit) for event in told for unit in _mentioned(event.data)}
    return {Subject(SubjectKind.UNIT, unit) for unit in units}


def _placed(data: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """The blocks of an event that tell of a place, each with its unit."""
    if "was" in data:
        yield data["was"]["unit"], data["was"]
    if "unit" not in data:
        return
    yield data["unit"], data
    if "naming" in data:
        yield data["unit"], data["naming"]
    for block in data.get("boards", ()):
        yield data["unit"], block


def _mentioned(data: Mapping[str, Any]) -> Iterator[str]:
    """Units whose serial a board is told to hold."""
    for block in (data, *data.get("boards", ())):
        if block.get("holds"):
            yield block["holds"]
