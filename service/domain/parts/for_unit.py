"""The parts for one very unit: its model, its breaks and its market decide, as far as they are known."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Part
from service.domain.facts.identity import UnitFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitPart:
    """A part that the unit takes, or may take."""

    part: Part
    certain: bool
    """Whether it is listed for every unit that this one may be; false where a break, the model or the
    market is not known well enough."""


def parts_of_unit(compiled: CompiledCatalogue, unit: UnitFacts) -> tuple[UnitPart, ...]:
    """All parts that some unit that this one may be takes, in the order of the catalogue."""
    hubs = unit.hubs
    found = []
    for part in compiled.catalogue.parts.values():
        takers = [
            hub
            for hub in hubs
            if part.role in hub.roles and hub.lists(part.number) and hub.sells(part.number)
        ]
        if takers:
            found.append(UnitPart(part=part, certain=len(takers) == len(hubs)))
    return tuple(found)
