"""What a catalogue says of software: the releases of each role, and what each of them asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from service.domain.software.ranges import Range
from service.domain.software.versions import Version
from service.domain.terms import ModelId, PartNumber, RoleId


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What a release asks of the boards of a role (of its own too: then of those in the other places)."""

    range: Range
    must_be_there: bool = False
    """Whether a board has to sit there at all. As a rule a unit without that role has nothing that could
    disagree: an app-operated model has no panel, and runs the same release on its main board."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """One release of one role's software."""

    role: RoleId
    version: Version
    parts: frozenset[PartNumber] | None = None
    """The parts it runs on; None: every part of the role."""
    models: frozenset[ModelId] | None = None
    """The models it is made for; None: every model."""
    needs: Mapping[RoleId, Need] = field(default_factory=dict)
    loads_from: Range | None = None
    """The versions over which it can be loaded. None: over any, and over a board that answers nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Software:
    """All releases of a catalogue. Make it with `software`, which refuses what contradicts itself."""

    roles: tuple[RoleId, ...]
    """The catalogue's order, in which "newest" and ties are decided."""
    releases: Mapping[RoleId, tuple[Release, ...]]
    """Of every role that carries software, the newest first."""

    def release(self, role: RoleId, version: Version) -> Release | None:
        """The release of that version; None where the catalogue does not list it."""
        return next((each for each in self.releases.get(role, ()) if each.version == version), None)


def software(roles: Sequence[RoleId], releases: Sequence[Release]) -> Software:
    """The software of a catalogue.

    Raises ValueError for a role that is not among `roles`, for two releases of one role that differ in
    build metadata at most, and for a need of a role that carries no software.
    """
    carrying = {each.role for each in releases}
    for each in releases:
        if unknown := {each.role} - set(roles) or each.needs.keys() - carrying:
            raise ValueError(f"{each.role} {each.version}: no software in role {min(unknown)}")
    ordered = {
        role: tuple(sorted((r for r in releases if r.role == role), key=lambda r: r.version, reverse=True))
        for role in roles
        if role in carrying
    }
    for role, listed in ordered.items():
        if len({each.version for each in listed}) < len(listed):
            raise ValueError(f"{role}: two releases of one version, build metadata not counted")
    return Software(roles=tuple(roles), releases=ordered)
