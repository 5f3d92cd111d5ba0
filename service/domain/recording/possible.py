"""What a board may be, as far as a step asks: every way in which the unknown facts may be.

A step is refused only where every way refuses it, so an unknown that has a harmless value takes that one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.domain.catalogue.hub import Hub
from service.domain.facts.records import BLANK, BindingRecord, BoardRecord
from service.domain.recording.bench import Bench
from service.domain.steps.setup import Fitted
from service.domain.terms import BindingPolicy, Holds, ModelId, PartNumber, RoleId

SOME_OTHER = ModelId("")
"""Stands for every model that nothing speaks of."""


def possible_boards(
    bench: Bench, hub: Hub, record: BoardRecord | None, role: RoleId, models: Iterable[ModelId]
) -> list[Fitted]:
    """Every board that may be meant, as far as a step tells them apart. `models` are those spoken of."""
    holds = _holds(bench, record)
    return [
        Fitted(part=part, binding=binding, holds=Holds.NOTHING if binding is None else holds)
        for part in _parts(hub, record, role)
        for binding in _bindings(hub, part, record, models)
    ]


def models_in(*records: BoardRecord | None) -> frozenset[ModelId]:
    """The models to which these boards may be bound, where any are named."""
    values = {value for each in records if each for value in each.binding.values or ()}
    return frozenset(ModelId(value) for value in values if value != BLANK)


def _parts(hub: Hub, record: BoardRecord | None, role: RoleId) -> Iterable[PartNumber]:
    """Its part; else one part of the role for each thing that such parts do with the unit's identity."""
    part = record.part if record else None
    if part is not None and part in hub.parts:
        return (part,)
    numbers = hub.compiled.parts_of_role.get(role, ())
    return {hub.parts[number].binding: number for number in numbers}.values()


def _bindings(
    hub: Hub, part: PartNumber, record: BoardRecord | None, models: Iterable[ModelId]
) -> Iterator[ModelId | None]:
    if hub.parts[part].binding is BindingPolicy.FREE:
        yield None
        return
    known = record.binding if record else BindingRecord()
    listed = known.values
    if listed is None or (BLANK in listed):
        yield None
    if listed is None or known.any_model:
        yield from dict.fromkeys((*models, SOME_OTHER))
    else:
        yield from (ModelId(value) for value in sorted(listed) if value != BLANK)


def _holds(bench: Bench, record: BoardRecord | None) -> Holds:
    """Whose serial it holds: that of another machine in service is the only one that forbids anything."""
    holder = bench.unit(record.held_serial) if record else None
    elsewhere = holder is not None and holder.in_service and holder.serial != bench.data.get("unit")
    return Holds.IN_SERVICE if elsewhere else Holds.IDLE
