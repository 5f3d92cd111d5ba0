"""Boards whose software has to go together, and the ways in which they may be: what `joined` finds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from service.domain.place import Place
from service.domain.rules.finding import Finding
from service.domain.software.plans import Load
from service.domain.terms import PartNumber

Kind = frozenset[PartNumber]
"""Parts of one role on which the same releases run."""


class Standing(NamedTuple):
    """What is known of one board of a group."""

    place: Place
    parts: frozenset[PartNumber]
    """All that it may be."""
    releases: frozenset[str] | None
    """All that may be on it, by name; None: nothing is known."""
    stays: bool


class Way(NamedTuple):
    """One way in which the boards of a group may be, or several that are alike."""

    parts: tuple[Kind, ...]
    """For each board the parts that it may be of."""
    releases: tuple[tuple[str, ...], ...]
    """For each board the names of the releases it may carry then; empty where nobody went through them."""
    rank: int
    told: tuple[Finding, ...]
    loads: tuple[Load, ...] = ()
    """What has to be loaded, in its order."""

    def ends(self, place: Place, at: int) -> tuple[str, ...]:
        """What the board in a place, the group's `at`-th, carries once everything is loaded."""
        last = [load.version for load in self.loads if load.place == place]
        return (str(last[-1]),) if last else self.releases[at]


class Joint(NamedTuple):
    """The boards of a group, and all ways in which they may be."""

    places: tuple[Place, ...]
    ways: tuple[Way, ...]
    past_bound: bool
    """Of some nobody knows: they are too many to go through."""

    @property
    def mask(self) -> int:
        """The set of its ways' ranks."""
        mask = 0
        for ranks in self.by_parts().values():
            mask |= ranks
        return mask

    def by_parts(self) -> Mapping[tuple[Kind, ...], int]:
        """For each combination of parts the set of its ways' ranks."""
        masks: dict[tuple[Kind, ...], int] = {}
        for way in self.ways:
            masks[way.parts] = masks.get(way.parts, 0) | 1 << way.rank
        return masks
