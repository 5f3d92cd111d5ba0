"""Where a board sits: a role, and the name of the place where the role has several."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.terms import RoleId


class Place(NamedTuple):
    """One place that takes one board."""

    role: RoleId
    name: str = ""
    """Empty for a role with a single place."""

    def __str__(self) -> str:
        """The place in texts and fact names: `main`, `bumper.left`."""
        return f"{self.role}.{self.name}" if self.name else self.role
