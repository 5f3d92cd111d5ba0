"""The single statements of a task that can stand in the way: an explanation is a set of them."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import NamedTuple

from service.domain.software.releases import Release
from service.domain.software.task import Task
from service.domain.software.versions import Version, parse_version
from service.domain.terms import RoleId


class FactKind(StrEnum):
    """What a fact restricts. These are codes of answers and may grow."""

    NEEDS = "release_needs"
    LOADS_FROM = "release_loads_from"
    PARTS = "release_parts"
    MODELS = "release_models"
    WANTED = "version_wanted"


class Fact(NamedTuple):
    """One statement: a release's need of another role, one of its limits, or what is wanted of a role."""

    kind: FactKind
    role: RoleId
    version: Version | None = None
    """The release that it is about; None for what is wanted."""
    other: RoleId | None = None
    """For a need: the role that is asked."""

    def __str__(self) -> str:
        """As one text: `release_needs main 2.0.0 panel`. `fact_of` reads it."""
        return " ".join(str(each) for each in self if each is not None)


def fact_of(text: str) -> Fact:
    """The fact that a text tells."""
    kind, role, *more = text.split(" ")
    version = parse_version(more[0]) if more else None
    return Fact(FactKind(kind), RoleId(role), version, RoleId(more[1]) if len(more) > 1 else None)


def facts(task: Task) -> Iterator[Fact]:
    """Every fact of the roles that have a board in the unit, in the order of roles, newest release first."""
    there = {board.place.role for board in task.boards}
    for role, releases in task.software.releases.items():
        if role in there:
            yield from ((Fact(FactKind.WANTED, role),) if role in task.wanted else ())
            for release in releases:
                yield from _of(release)


def _of(release: Release) -> Iterator[Fact]:
    role, version = release.role, release.version
    if release.loads_from is not None:
        yield Fact(FactKind.LOADS_FROM, role, version)
    if release.parts is not None:
        yield Fact(FactKind.PARTS, role, version)
    if release.models is not None:
        yield Fact(FactKind.MODELS, role, version)
    for other in sorted(release.needs):
        yield Fact(FactKind.NEEDS, role, version, other)
