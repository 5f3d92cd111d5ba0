"""The software of a catalogue: releases with what they ask for, where their names are versions."""

from __future__ import annotations

from itertools import pairwise

from service.domain.software.ranges import parse_range
from service.domain.software.releases import Need, Release, Software, software
from service.domain.software.versions import Version, is_version, parse_version
from service.domain.terms import RoleId
from service.papers.draft import Draft, release_names


def versions_of(role: Draft) -> tuple[Version, ...] | None:
    """The versions that a role's releases are, oldest first; None where they are names alone: some is no
    version, or they do not stand in the order of precedence."""
    names = release_names(role)
    if not all(map(is_version, names)):
        return None
    versions = tuple(map(parse_version, names))
    return versions if all(one < two for one, two in pairwise(versions)) else None


def software_of(draft: Draft) -> Software:
    """The software of a document without faults."""
    carrying = {RoleId(role): told for role, told in draft["roles"].items() if versions_of(told)}
    releases = [_release(role, each) for role, told in carrying.items() for each in told["releases"]]
    return software(tuple(carrying), releases)


def _release(role: RoleId, told: Draft) -> Release:
    return Release(
        role=role,
        version=parse_version(told["version"]),
        parts=None if told["parts"] is None else frozenset(told["parts"]),
        models=None if told["models"] is None else frozenset(told["models"]),
        needs={RoleId(other): Need(range=parse_range(text)) for other, text in told["needs"].items()},
        loads_from=None if told["loads_from"] is None else parse_range(told["loads_from"]),
    )
