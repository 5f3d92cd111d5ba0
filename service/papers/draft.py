"""Going through a document that has been read by its shapes and may still have holes where faults are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.papers.shapes.context import BAD

Draft = dict[str, Any]
"""A mapping whose fields are all there, in their own types; `BAD` or None where one could not be read."""


def entries(section: Any) -> Iterator[tuple[Any, Any]]:
    """Keys or positions with their values, without those that could not be read."""
    pairs = section.items() if isinstance(section, dict) else enumerate(section or ())
    for key, value in pairs:
        if value is not BAD and value is not None:
            yield key, value


def values(section: Any) -> list[Any]:
    """The values of `entries`."""
    return [value for _, value in entries(section)]


def direct_rows(draft: Draft) -> Iterator[tuple[int, Draft, int, Draft]]:
    """Every row of every part that can be read: the part's position, the part, the row's, the row."""
    for place, part in entries(draft["parts"]):
        for row_place, row in entries(part["fits"]):
            yield place, part, row_place, row


def models_of_parts(draft: Draft) -> dict[int, frozenset[str]]:
    """For each part's position, the models it is listed for directly, breaks ignored."""
    found: dict[int, set[str]] = {place: set() for place, _ in entries(draft["parts"])}
    for place, _, _, row in direct_rows(draft):
        found[place].update(values(row["models"]))
    return {place: frozenset(models) for place, models in found.items()}


def release_names(role: Draft) -> list[str]:
    """The names of a role's releases, oldest first, without those that could not be read."""
    return [told["version"] for told in values(role["releases"]) if told["version"] is not None]


def is_covered(draft: Draft, model: Draft) -> bool:
    """Whether a model's family is covered; a family that cannot be read counts as one that is not."""
    families = draft["families"] or {}
    family = families.get(model["family"])
    return isinstance(family, dict) and bool(family["covered"])
