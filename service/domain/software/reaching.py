"""Which roles have anything to do with each other, as far as software is concerned."""

from __future__ import annotations

from service.domain.software.releases import Software
from service.domain.terms import RoleId


def joined_roles(software: Software) -> tuple[tuple[RoleId, ...], ...]:
    """The roles that carry software in groups that no need joins, whatever sits there. What becomes of one
    group is nothing to the next."""
    groups: list[set[RoleId]] = []
    for role, releases in software.releases.items():
        near = {role}.union(*(release.needs for release in releases))
        joined = [group for group in groups if group & near]
        groups = [group for group in groups if not group & near] + [near.union(*joined)]
    order = software.roles.index
    return tuple(sorted((tuple(sorted(group, key=order)) for group in groups), key=lambda g: order(g[0])))
