"""What a plan is made for: a unit as it stands, the machine it is to be, what is wanted, what can be had."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from service.domain.catalogue.hub import Hub
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

    def needs_in(self, roles: tuple[RoleId, ...]) -> tuple[Need, ...]:
        """Those that boards in these roles meet."""
        return tuple(need for need in self.needs if need.role in roles)
