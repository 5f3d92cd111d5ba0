"""Releases by name: as they are written in records and questions, and as the catalogue lists them."""

from __future__ import annotations

from functools import lru_cache

from service.domain.catalogue.model import Catalogue
from service.domain.software.versions import is_version, parse_version
from service.domain.terms import RoleId


@lru_cache(maxsize=4_096)
def release_named(catalogue: Catalogue, role: RoleId, name: str) -> str | None:
    """A release as the catalogue writes it. Where the role's releases are versions, one that is not listed is
    known for what it is; None for a name that says nothing."""
    position = release_position(catalogue, role, name)
    if position is not None:
        return catalogue.roles[role].releases[position]
    return str(parse_version(name)) if role in catalogue.software.releases and is_version(name) else None


@lru_cache(maxsize=4_096)
def release_position(catalogue: Catalogue, role: RoleId, name: str) -> int | None:
    """Where a release stands in its role's list; None where it does not. Versions that differ in build
    metadata alone are one."""
    listed = catalogue.roles[role].releases if role in catalogue.roles else ()
    if name in listed:
        return listed.index(name)
    versions = catalogue.software.releases.get(role)
    if versions is None or not is_version(name):
        return None
    same = (at for at, each in enumerate(reversed(versions)) if each.version == parse_version(name))
    return next(same, None)
