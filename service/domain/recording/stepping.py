"""Steps with the programming tool: the transition table over every way in which the unit may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.facts.records import BoardRecord
from service.domain.ledger.event import EventKind
from service.domain.ledger.seating import place_in
from service.domain.place import Place
from service.domain.recording.bench import Bench, Spot, is_empty, occupant
from service.domain.recording.mending import instead_of
from service.domain.recording.possible import models_in, possible_boards
from service.domain.recording.refusal import Refusal
from service.domain.steps.setup import Action, Fitted, Setup
from service.domain.steps.transitions import TRANSITIONS
from service.domain.terms import ModelId, Serial, StepKind

ANOTHER_MODEL = "naming_board_is_of_another_model"
"""A panel takes the model of the board that names, and no other."""


class Bound(NamedTuple):
    """The board that names, as far as a step on another board asks."""

    serial: Serial | None
    record: BoardRecord | None
    place: Place
    there: bool
    """False: its place is recorded as empty."""


def stepping(bench: Bench) -> Iterator[Refusal]:
    """A step that was begun or done is one that some way allows. One that broke off may have been refused
    by the tool itself."""
    hub, step = _hub(bench), StepKind(bench.data["step"])
    if hub is None or "board" not in bench.data or "unit" not in bench.data:
        return
    place = _place(bench, hub)
    if place is None or place.role not in hub.owner.model.roles:
        return
    naming = _naming(bench, hub, place)
    for code in _codes(bench, hub, Action(kind=step, place=place), naming):
        facts = _facts(bench, hub, place, naming)
        spots = Spot(bench.data["unit"], place), naming and Spot(bench.data["unit"], naming.place)
        instead = instead_of(code, bench, spots, naming.serial if naming else None)
        yield Refusal(code=code, facts=facts, instead=instead)


def _hub(bench: Bench) -> Hub | None:
    """What the catalogue says of the unit; None where it says nothing of its model. No step asks for more
    than the model, so any market and any cell will do."""
    unit = bench.unit(bench.data.get("unit"))
    model = bench.data.get("model") or (unit.model if unit else None)
    compiled = bench.compiled.models.get(ModelId(model)) if model else None
    if compiled is None or not compiled.family.covered:
        return None
    return compiled.hub(0, 0, min(compiled.model.markets))


def _place(bench: Bench, hub: Hub) -> Place | None:
    """Where the board sits, or is of a kind to sit: as told, as recorded, by its part, by the step."""
    if "role" in bench.data:
        return place_in(bench.data)
    record = bench.board(bench.data["board"])
    if record is not None and record.role is not None and record.in_unit == bench.data["unit"]:
        return Place(record.role, record.place)
    part = hub.parts.get(record.part) if record is not None and record.part else None
    names = bench.data["step"] == StepKind.ENTER_SERIAL
    role = part.role if part else hub.naming_role if names else None
    return Place(role, hub.compiled.catalogue.roles[role].places[0]) if role else None


def _naming(bench: Bench, hub: Hub, place: Place) -> Bound | None:
    """The board that names, where the step is on another one: as told, else the one that sits in the unit."""
    if hub.naming_role is None or place.role == hub.naming_role:
        return None
    if "naming" in bench.data:
        serial = Serial(bench.data["naming"]["board"])
        return Bound(serial, bench.board(serial), place_in(bench.data["naming"]), there=True)
    at = Place(hub.naming_role, hub.compiled.catalogue.roles[hub.naming_role].places[0])
    spot = Spot(Serial(bench.data["unit"]), at)
    there = occupant(bench.states, spot)
    empty = there is None and is_empty(bench.states, spot)
    return Bound(there, bench.board(there) if there else None, at, there=not empty)


def _codes(bench: Bench, hub: Hub, action: Action, naming: Bound | None) -> list[str]:
    """What refuses the step in every way that the unit may be; nothing as soon as one way allows it."""
    seen: dict[str, int] = {}
    ways = 0
    for setup in _setups(bench, hub, action, naming):
        codes = _refusals(bench, hub, setup, action)
        if not codes:
            return []
        ways += 1
        for code in codes:
            seen[code] = seen.get(code, 0) + 1
    return [code for code, count in seen.items() if count == ways] or list(seen)


def _setups(bench: Bench, hub: Hub, action: Action, naming: Bound | None) -> Iterator[Setup]:
    assert action.place is not None
    record = bench.board(bench.data["board"])
    models = {hub.model.id, *models_in(record, naming.record if naming else None)}
    boards = possible_boards(bench, hub, record, action.place.role, models)
    others: list[Fitted | None] = [None]
    if naming is not None and naming.there:
        others = [*possible_boards(bench, hub, naming.record, naming.place.role, models)]
    for board, other in product(boards, others):
        there = {action.place: board}
        if naming is not None and other is not None:
            there = {**there, naming.place: other}
        yield Setup(model=hub.model.id, boards=there)


def _refusals(bench: Bench, hub: Hub, setup: Setup, action: Action) -> list[str]:
    codes = TRANSITIONS[action.kind].refusals(hub, setup, action)
    if codes or action.kind is not StepKind.ASSIGN or bench.kind != EventKind.STEP_FINISHED:
        return codes
    assert action.place is not None
    after = TRANSITIONS[action.kind].apply(hub, setup, action).boards[action.place]
    return [] if after.binding == bench.data["model"] else [ANOTHER_MODEL]


def _facts(bench: Bench, hub: Hub, place: Place, naming: Bound | None) -> Mapping[str, str]:
    record = bench.board(bench.data["board"])
    told = {
        "step": bench.data["step"],
        "board": bench.data["board"],
        "unit": bench.data["unit"],
        "place": str(place),
        "model": hub.model.id,
        "bound_model": " ".join(sorted(models_in(record))),
        "holder": (record.held_serial if record else None) or "",
        "naming": (naming.serial if naming else None) or "",
        "naming_model": " ".join(sorted(models_in(naming.record if naming else None))),
    }
    return {name: value for name, value in told.items() if value}
