"""What is wanted, and which needs a filled role meets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Capability
from service.domain.terms import CapabilityId, RoleId
from service.domain.upgrade.filling import Filling

Wanted = Mapping[CapabilityId, int]
"""Capabilities with the amount of each; 1 for a switch."""


def needs_of(hub: Hub, wanted: Wanted) -> dict[str, frozenset[str]]:
    """Per capability, everything that has to be there for it, the model's permission aside."""
    capabilities = hub.compiled.catalogue.capabilities
    return {name: frozenset(_needs(capabilities[name])) for name in wanted}


def _needs(capability: Capability) -> Iterator[str]:
    yield from (hardware_need(capability, need.role, need.feature) for need in capability.hardware)
    yield from (release_need(capability, role) for role, least in capability.releases.items() if least)
    if capability.accessory:
        yield accessory_need(capability)


def hardware_need(capability: Capability, role: RoleId, feature: str) -> str:
    return f"{capability.id} hardware {role} {feature}"


def release_need(capability: Capability, role: RoleId) -> str:
    return f"{capability.id} release {role}"


def accessory_need(capability: Capability) -> str:
    return f"{capability.id} accessory {capability.accessory}"


def met(hub: Hub, wanted: Wanted, fillings: Sequence[Filling]) -> frozenset[str]:
    """The needs that these places meet; they are all the places of each role among them."""
    by_role: dict[RoleId, list[Filling]] = {}
    for each in fillings:
        if each.board is not None:
            by_role.setdefault(each.place.role, []).append(each)
    catalogue = hub.compiled.catalogue
    return frozenset(
        need
        for name, amount in wanted.items()
        for need in _met_of(hub, catalogue.capabilities[name], amount, by_role)
    )


def _met_of(
    hub: Hub, capability: Capability, amount: int, by_role: Mapping[RoleId, list[Filling]]
) -> Iterator[str]:
    for need in capability.hardware:
        boards = [each.board for each in by_role.get(need.role, ()) if each.board is not None]
        values = [hub.parts[board.part].features.get(need.feature, 0) for board in boards]
        has = sum(values) if capability.is_count else min(values, default=0)
        if has >= amount:
            yield hardware_need(capability, need.role, need.feature)
    for role, least in capability.releases.items():
        known = [each.release for each in by_role.get(role, ())]
        if known and all(release is not None and release >= least for release in known):
            yield release_need(capability, role)


def permission(hub: Hub, capability: CapabilityId, amount: int) -> str:
    """Why the model may not have so much of a capability, as a code; empty where it may."""
    allowed = hub.model.allows.get(capability)
    if allowed is None or allowed.amount < amount:
        return "planned" if allowed is not None and allowed.planned else "not_allowed_for_model"
    if allowed.markets is not None and hub.market not in allowed.markets:
        return "not_in_market"
    return ""
