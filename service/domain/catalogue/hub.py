"""The unit of one world, as the rules see it: model, market and break cells, all known."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from service.domain.catalogue.model import Family, Model, ModelRole, Part, Procedure
from service.domain.place import Place
from service.domain.terms import BindingPolicy, MarketId, PartNumber, RoleId, StepKind

if TYPE_CHECKING:
    from service.domain.catalogue.compiled import CompiledCatalogue, CompiledModel


class Reach(NamedTuple):
    """The cells of one model in which a part is listed: sets of cells as bit masks, one for each axis."""

    serials: int = 0
    dates: int = 0

    def __or__(self, other: Reach) -> Reach:
        return Reach(self.serials | other.serials, self.dates | other.dates)

    def __bool__(self) -> bool:
        return bool(self.serials or self.dates)

    def covers(self, serial_cell: int, date_cell: int) -> bool:
        """A row has one axis, so a cell is covered when either axis says so."""
        return bool(self.serials >> serial_cell & 1 or self.dates >> date_cell & 1)


SWAP = frozenset({StepKind.REMOVE, StepKind.MOUNT, StepKind.SELF_TEST})
"""The steps of every change of a board."""


class Hub:
    """One world's unit. Everything on it is a fact of the catalogue for that model, cell and market."""

    def __init__(
        self,
        compiled: CompiledCatalogue,
        owner: CompiledModel,
        serial_cell: int,
        date_cell: int,
        market: MarketId,
    ) -> None:
        self.compiled = compiled
        self.owner = owner
        self.serial_cell = serial_cell
        self.date_cell = date_cell
        self.market = market
        self.model: Model = owner.model
        self.family: Family = owner.family
        self.covered = owner.family.covered
        self.parts: Mapping[PartNumber, Part] = compiled.catalogue.parts
        self.roles: Mapping[RoleId, ModelRole] = {
            role: use
            for role, use in owner.model.roles.items()
            if use.markets is None or market in use.markets
        }
        self.places = tuple(place for place in owner.places if place.role in self.roles)
        self.tool_steps = frozenset(p.kind for p in self.family.procedures if p.tool)
        self.swap_takes_tool = not self.tool_steps.isdisjoint(SWAP)
        """Whether fitting any board takes the programming tool in this family."""
        self.renewal_takes_tool = self.swap_takes_tool or StepKind.ACTIVATE in self.tool_steps
        """Whether fitting a board that names or follows does, since the unit is set up again after it."""
        self._listed: dict[PartNumber, bool] = {}
        self._factory: dict[RoleId, tuple[PartNumber, ...]] = {}

    @cached_property
    def procedures(self) -> Mapping[StepKind, Procedure]:
        """How each kind of step is done in this family (`activate` is read from the family itself)."""
        return {p.kind: p for p in self.family.procedures}

    @cached_property
    def naming_role(self) -> RoleId | None:
        """The role whose board carries the unit's serial and names the model; at most one a model."""
        return next(
            (
                self.parts[number].role
                for number in self.owner.listed
                if self.parts[number].binding is BindingPolicy.NAMES
            ),
            None,
        )

    @cached_property
    def naming_places(self) -> tuple[Place, ...]:
        """The places of that role."""
        return tuple(place for place in self.places if place.role == self.naming_role)

    @cached_property
    def binding_roles(self) -> frozenset[RoleId]:
        """The roles of the boards that name the model or follow it."""
        parts = [self.parts[number] for number in self.owner.reached]
        binding = {part.role for part in parts if part.binding is not BindingPolicy.FREE}
        return frozenset(binding & self.roles.keys())

    @cached_property
    def order(self) -> Mapping[Place, int]:
        """Each place with its position among the model's places."""
        return {place: at for at, place in enumerate(self.places)}

    def stand_in(self, number: PartNumber) -> PartNumber:
        """A part that no step can tell from this one: the first of its role that binds alike, and on which
        the same releases run. Boards whose stand-ins are one take the same work."""
        part, runs = self.parts[number], self.compiled.running.get(number)
        alike = self.compiled.parts_of_role[part.role]
        return next(
            each
            for each in alike
            if self.parts[each].binding is part.binding and self.compiled.running.get(each) is runs
        )

    def lists(self, number: PartNumber) -> bool:
        """Whether the part is listed here, itself or through replacement. Its markets are its own."""
        listed = self._listed.get(number)
        if listed is None:
            reach = self.owner.reached.get(number)
            if reach is None:
                return False  # and not kept: there are thousands of such parts, and thousands of hubs
            listed = self._listed[number] = reach.covers(self.serial_cell, self.date_cell)
        return listed

    def sells(self, number: PartNumber) -> bool:
        """Whether the part is for this unit's market."""
        markets = self.parts[number].markets
        return markets is None or self.market in markets

    def factory_parts(self, role: RoleId) -> tuple[PartNumber, ...]:
        """The parts the unit may have left the factory with in this role: those directly listed here."""
        found = self._factory.get(role)
        if found is None:
            found = self._factory[role] = tuple(
                number
                for number in self.compiled.parts_of_role.get(role, ())
                if number in self.owner.listed
                and self.owner.listed[number].covers(self.serial_cell, self.date_cell)
                and self.sells(number)
            )
        return found
