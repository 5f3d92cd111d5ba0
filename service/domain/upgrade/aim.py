"""What a plan is made for: a unit as it stands, the machine it is to be, what is wanted, what can be had."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from service.domain.catalogue.hub import Hub
from service.domain.fit.joined import groups_of
from service.domain.place import Place
from service.domain.terms import RoleId
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.wanted import Need, Wanted, needs_of


@dataclass(frozen=True, kw_only=True)
class Aim:
    """One way to go: with `hub` a machine of another model than the unit's, the unit becomes one of it."""

    standing: Standing
    hub: Hub
    wanted: Wanted
    offers: Offers

    @property
    def another_model(self) -> bool:
        return self.hub.model.id != self.standing.hub.model.id

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """Everything that has to be there for all that is wanted, the model's permission aside."""
        return tuple(needs_of(self.hub, self.wanted))

    def needs_in(self, roles: Collection[RoleId]) -> tuple[Need, ...]:
        """Those that boards in these roles meet."""
        return tuple(need for need in self.needs if need.role in roles)

    @cached_property
    def blocks(self) -> tuple[tuple[Place, ...], ...]:
        """Places that are filled together. The board that names the model and those that follow it are one
        block, for a change of either ends their introduction; so are boards whose software has to go
        together; every other role is one by itself. Where the machine becomes one of another model, so is
        each place that this one does not have."""
        roles: list[set[RoleId]] = [set(self.hub.binding_roles)]
        roles += [{role} for role in self.hub.roles if role not in self.hub.binding_roles]
        for group in groups_of(self.hub).all:
            joined = {place.role for place in group.places}
            met = [each for each in roles if each & joined]
            roles = [set[RoleId]().union(*met), *(each for each in roles if not each & joined)]
        blocks = [tuple(place for place in self.hub.places if place.role in each) for each in roles]
        over = [
            (place,) for place in self.standing.boards if self.another_model and place not in self.hub.order
        ]
        return tuple(block for block in (*blocks, *over) if block)
