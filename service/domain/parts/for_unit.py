"""The parts for one very unit: its model, its breaks and its market decide, as far as they are known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Part
from service.domain.facts.identity import UnitFacts
from service.domain.terms import MarketId, ModelId


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitPart:
    """A part that the unit takes, or may take."""

    part: Part
    certain: bool
    """Whether it is listed for every unit that this one may be; false where a break, the model or the
    market is not known well enough."""


def hubs_of(compiled: CompiledCatalogue, unit: UnitFacts) -> Iterator[Hub]:
    """Every unit that this one may be, as far as the catalogue tells units apart."""
    models = compiled.models if unit.model.values is None else sorted(unit.model.values)
    for model in (compiled.models[ModelId(each)] for each in models):
        markets = model.model.markets if unit.market.values is None else map(MarketId, unit.market.values)
        for market in sorted(markets):
            for serial_cell in unit.serial_cells(model):
                for date_cell in unit.date_cells(model):
                    yield model.hub(serial_cell, date_cell, market)


def parts_of_unit(compiled: CompiledCatalogue, unit: UnitFacts) -> tuple[UnitPart, ...]:
    """All parts that some unit that this one may be takes, in the order of the catalogue."""
    hubs = tuple(hubs_of(compiled, unit))
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
