"""Replacement chains: which number is ordered today for one that is on an old list."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from service.domain.catalogue.model import Catalogue, Part
from service.domain.terms import ModelId, PartNumber


def replaced_by(
    catalogue: Catalogue, number: PartNumber, model: ModelId | None = None
) -> tuple[PartNumber, ...]:
    """The parts that directly took the place of one: all of them, or those that did so for a model."""
    return tuple(part.number for part in catalogue.parts.values() if _replaces(part, number, model))


def current(catalogue: Catalogue, number: PartNumber, model: ModelId | None = None) -> tuple[PartNumber, ...]:
    """The ends of the chain that starts at a number, itself where nothing took its place.

    More than one where a part was followed by several. Parts that replace each other in a circle,
    as parts for both ways may, are all current.
    """

    def newer(of: PartNumber) -> Iterable[PartNumber]:
        return replaced_by(catalogue, of, model)

    reached = _reached(number, newer)
    ends = tuple(
        end for end in reached if all(end in _reached(later, newer) for later in _reached(end, newer))
    )
    return (number,) if number in ends else ends


def _replaces(part: Part, older: PartNumber, model: ModelId | None) -> bool:
    return any(
        row.part == older and (model is None or row.models is None or model in row.models)
        for row in part.replaces
    )


def _reached(start: PartNumber, step: Callable[[PartNumber], Iterable[PartNumber]]) -> tuple[PartNumber, ...]:
    """The start and all that follows it, nearest first."""
    seen = {start: None}
    todo = [start]
    for number in todo:
        fresh = [later for later in step(number) if later not in seen]
        seen.update(dict.fromkeys(fresh))
        todo.extend(fresh)
    return tuple(seen)
