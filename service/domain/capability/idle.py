"""What a board is bought for, and will not do in this model: its hardware is there, and is not allowed."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.capability.comparing import Comparison
from service.domain.catalogue.model import Capability, Catalogue
from service.domain.facts.case import BoardCase
from service.domain.terms import BindingPolicy, CapabilityId, PartNumber, RoleId


def idle(
    catalogue: Catalogue, proposed: tuple[BoardCase, ...], comparison: Comparison
) -> tuple[CapabilityId, ...]:
    """The switches whose hardware sits on the proposed boards alone, and that the model surely isn't allowed.

    Boards that take a model are left out: they are bought so that the machine runs, and carry hardware for
    many models.
    """
    roles = frozenset(_roles_of_free(catalogue, proposed))
    return tuple(
        each.id
        for each in catalogue.capabilities.values()
        if _carried_by(each, roles) and _not_allowed(comparison, each.id)
    )


def _roles_of_free(catalogue: Catalogue, proposed: tuple[BoardCase, ...]) -> Iterator[RoleId]:
    for board in proposed:
        parts = board.part.values
        if parts and all(catalogue.parts[PartNumber(each)].binding is BindingPolicy.FREE for each in parts):
            yield board.place.role


def _carried_by(capability: Capability, roles: frozenset[RoleId]) -> bool:
    needed = {hardware.role for hardware in capability.hardware}
    return not capability.is_count and bool(needed) and needed <= roles


def _not_allowed(comparison: Comparison, capability: CapabilityId) -> bool:
    found = comparison.after.get(capability)
    return found is not None and any(
        blocker.code == "not_allowed_for_model" and blocker.certain and blocker.facts["hardware"] == ("1",)
        for blocker in found.blockers
    )
