"""What stopped working, and which board carries it; several faults may have one board and cable in common."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.catalogue.model import Catalogue
from service.domain.parts.numbers import folded
from service.domain.terms import FunctionId, RoleId


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """One function and the role whose board carries it."""

    id: FunctionId
    name: str
    role: RoleId


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """The board, and the cable into it, by which several faults have one cause in common."""

    role: RoleId
    cable: str | None
    """None where the faults come into that board by different cables, or sit on it themselves."""


def functions(catalogue: Catalogue) -> tuple[Function, ...]:
    """All functions, in the order of the roles."""
    return tuple(
        Function(id=function, name=name, role=role.id)
        for role in catalogue.roles.values()
        for function, name in role.functions.items()
    )


def by_name(catalogue: Catalogue, text: str) -> tuple[Function, ...]:
    """The functions of this id or name; several where more than one role carries it."""
    wanted = folded(text)
    return tuple(f for f in functions(catalogue) if wanted in (folded(f.id), folded(f.name)))


def shared_connection(catalogue: Catalogue, roles: Sequence[RoleId]) -> Shared | None:
    """The nearest board that all the faults have in common on their way to the rest of the unit.

    None for faults of one role alone: then that board is the first to look at, and no connection is
    shared.
    """
    if len(set(roles)) < 2:
        return None
    ways = [_way(catalogue, role) for role in roles]
    for role in ways[0]:
        if all(role in way for way in ways):
            cables = {way[role] for way in ways if way[role] is not None}
            return Shared(role=role, cable=next(iter(cables)) if len(cables) == 1 else None)
    return None


def _way(catalogue: Catalogue, role: RoleId) -> dict[RoleId, str | None]:
    """The boards from one role on, nearest first, each with the cable by which it is reached."""
    way: dict[RoleId, str | None] = {role: None}
    link = catalogue.roles[role].connection
    while link is not None and link.through not in way:
        way[link.through] = link.cable
        link = catalogue.roles[link.through].connection
    return way
