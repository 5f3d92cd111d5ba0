"""What is wanted, and which needs a filled role meets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Capability
from service.domain.terms import CapabilityId, FeatureId, RoleId
from service.domain.upgrade.filling import Filling

Wanted = Mapping[CapabilityId, int]
"""Capabilities with the amount of each; 1 for a switch."""


class Need(NamedTuple):
    """One thing that has to be there for a capability."""

    name: str
    capability: CapabilityId
    kind: str
    """`hardware`, `release` or `accessory`."""
    what: str
    """The role, or the accessory."""
    amount: int
    """How much of it: of a feature, or how many accessories; the position of the least release."""
    feature: FeatureId = FeatureId("")
    adds_up: bool = False
    """Whether several places of the role together may have it; else each of them must."""

    @property
    def role(self) -> RoleId | None:
        """The role whose boards meet it; None for an accessory."""
        return None if self.kind == "accessory" else RoleId(self.what)


def needs_of(hub: Hub, wanted: Wanted) -> Iterator[Need]:
    """Everything that has to be there, the model's permission aside."""
    capabilities = hub.compiled.catalogue.capabilities
    for name, amount in wanted.items():
        yield from _needs(capabilities[name], amount)


def _needs(of: Capability, amount: int) -> Iterator[Need]:
    for each in of.hardware:
        name = f"{of.id} hardware {each.role} {each.feature}"
        yield Need(name, of.id, "hardware", each.role, amount, each.feature, of.is_count)
    for role, least in of.releases.items():
        if least:
            yield Need(f"{of.id} release {role}", of.id, "release", role, least)
    if of.accessory:
        name = f"{of.id} accessory {of.accessory}"
        yield Need(name, of.id, "accessory", of.accessory, amount if of.is_count else 1)


def worth(hub: Hub, need: Need, filling: Filling) -> int:
    """How much of a need one place has, up to what is needed."""
    if filling.board is None or need.role != filling.place.role:
        return 0
    if need.kind == "release":
        return need.amount if filling.release is not None and filling.release >= need.amount else 0
    return min(hub.parts[filling.board.part].features.get(need.feature, 0), need.amount)


def met(hub: Hub, needs: Sequence[Need], fillings: Sequence[Filling]) -> frozenset[str]:
    """The needs that these places meet; they are all the places of each role among them."""
    return frozenset(need.name for need in needs if _is_met(hub, need, fillings))


def _is_met(hub: Hub, need: Need, fillings: Sequence[Filling]) -> bool:
    has = [worth(hub, need, each) for each in fillings if each.board and each.place.role == need.role]
    return (sum(has) if need.adds_up else min(has, default=0)) >= need.amount


def permission(hub: Hub, capability: CapabilityId, amount: int) -> str:
    """Why the model may not have so much of a capability, as a code; empty where it may."""
    allowed = hub.model.allows.get(capability)
    if allowed is None or allowed.amount < amount:
        return "planned" if allowed is not None and allowed.planned else "not_allowed_for_model"
    if allowed.markets is not None and hub.market not in allowed.markets:
        return "not_in_market"
    return ""
