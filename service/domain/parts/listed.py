"""Where a part may go: models, breaks, and through which older numbers."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Listing
from service.domain.terms import ModelId, PartNumber


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedFor:
    """One model that a part may go into, by one row of a list."""

    model: ModelId
    row: Listing
    """The row, with its break where it has one."""
    through: PartNumber
    """The part whose row it is: itself, or an older one whose place it takes."""


def listed_for(compiled: CompiledCatalogue, number: PartNumber) -> tuple[ListedFor, ...]:
    """All rows by which a part may go somewhere, in the order of the models."""
    return tuple(
        ListedFor(model=model, row=row, through=older)
        for model in compiled.models
        if number in compiled.models[model].reached
        for older in _older(compiled, number, model)
        for row in compiled.catalogue.parts[older].listings
        if model in row.models
    )


def _older(compiled: CompiledCatalogue, number: PartNumber, model: ModelId) -> list[PartNumber]:
    """The parts listed for a model in whose place this one may go, itself first."""
    listed = compiled.models[model].listed
    found = [older for older in listed if number in compiled.takers(older, model)]
    return sorted(found, key=lambda older: (older != number, older))


def reaches(compiled: CompiledCatalogue, number: PartNumber, model: ModelId) -> bool:
    """Whether a part may go into some unit of a model, whatever its breaks."""
    return number in compiled.models[model].reached
