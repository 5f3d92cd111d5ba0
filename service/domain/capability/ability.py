"""What a unit can do for its owner, in one world and over all of them.

available = the model that the boards agree on allows it, and the hardware, the release and the
accessory are there. A count is the least of what is allowed and what the hardware has.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Allowance, Capability
from service.domain.facts.case import CASES_KEPT
from service.domain.terms import FeatureId, Overload, PartNumber, RoleId

NOT_ALLOWED = Allowance(amount=0)


class Blocker(NamedTuple):
    """What stands between the unit and a capability: a code and its facts."""

    code: str
    facts: tuple[tuple[str, str], ...] = ()


class Amount(NamedTuple):
    """A capability in one world: 0 or 1 for a switch, a number for a count."""

    amount: int
    blockers: tuple[Blocker, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Fittings:
    """What a world has, as far as capabilities are concerned. Made by `fittings` only."""

    hub: Hub
    refused: str
    """The blocker code of a unit that does not run; empty for one that runs."""
    parts: Mapping[RoleId, tuple[frozenset[PartNumber], ...]]
    """Per role, for each of its places that is filled, the parts that may be there."""
    releases: Mapping[RoleId, frozenset[int]]
    """Per role, the releases its board may carry; a role of which nothing is known is not in it."""


Parts = tuple[tuple[RoleId, tuple[frozenset[PartNumber], ...]], ...]
Releases = tuple[tuple[RoleId, frozenset[int]], ...]


@lru_cache(maxsize=CASES_KEPT)
def fittings(hub: Hub, refused: str, parts: Parts, releases: Releases) -> Fittings:
    """The one object of these fittings, so that what follows from equal ones is worked out once. Breaks
    make no difference to capabilities, so the hub of the first cells stands for all."""
    return Fittings(hub.owner.hub(0, 0, hub.market), refused, dict(parts), dict(releases))


def amounts(way: Fittings, capability: Capability, accessories: Mapping[str, int]) -> Iterator[Amount]:
    """The capability in every world of these fittings."""
    allowance = way.hub.model.allows.get(capability.id, NOT_ALLOWED)
    for hardware in _hardware(way, capability):
        for too_old in _too_old(way, capability):
            amount = _amount(way.hub, capability, allowance, hardware, too_old, accessories)
            yield Amount(0, (Blocker(way.refused), *amount.blockers)) if way.refused else amount


def _amount(
    hub: Hub,
    capability: Capability,
    allowance: Allowance,
    hardware: int,
    too_old: str,
    accessories: Mapping[str, int],
) -> Amount:
    blockers = list(_permission(hub, capability, allowance, hardware))
    if capability.hardware and hardware == 0:
        blockers.append(Blocker("hardware_missing"))
    if too_old:
        blockers.append(Blocker("software_too_old", (("role", too_old),)))
    if capability.accessory and not capability.is_count and not accessories.get(capability.accessory):
        blockers.append(Blocker("accessory_missing", (("accessory", capability.accessory),)))
    allowed = allowance.amount if _valid_here(hub, allowance) else 0
    if capability.is_count:
        has = hardware if capability.hardware else allowed
        return Amount(0 if too_old else min(allowed, has), tuple(blockers))
    return Amount(0 if blockers else 1, tuple(blockers))


def _permission(hub: Hub, capability: Capability, allowance: Allowance, hardware: int) -> Iterator[Blocker]:
    """What the model is not allowed. Hardware that is on the board and not allowed is said plainly."""
    facts = (
        ("unit_model", str(hub.model.id)),
        ("hardware", str(hardware)),
        ("allowed", str(allowance.amount)),
    )
    if allowance.amount == 0:
        yield Blocker("planned" if allowance.planned else "not_allowed_for_model", facts)
    elif not _valid_here(hub, allowance):
        yield Blocker("not_in_market", (("market", str(hub.market)),))
    elif capability.is_count and hardware > allowance.amount:
        effect = (("more", str(allowance.overload)),)
        yield Blocker("not_allowed_for_model", facts + effect)


def _valid_here(hub: Hub, allowance: Allowance) -> bool:
    return allowance.markets is None or hub.market in allowance.markets


def _hardware(way: Fittings, capability: Capability) -> set[int]:
    """What the boards have: 0 or 1 for a switch; for a count the least over roles of the sum over places."""
    if not capability.hardware:
        return {1}
    per_role = [
        set(_of_role(way, need.role, need.feature, capability.is_count)) for need in capability.hardware
    ]
    return {min(choice) for choice in product(*per_role)}


def _of_role(way: Fittings, role: RoleId, feature: str, is_count: bool) -> Iterator[int]:
    places = way.parts.get(role, ())
    parts = way.hub.parts
    wanted = FeatureId(feature)
    values = [{parts[number].features.get(wanted, 0) for number in possible} for possible in places]
    if not values:
        yield 0
        return
    for choice in product(*values):
        yield sum(choice) if is_count else int(all(choice))


def _too_old(way: Fittings, capability: Capability) -> Iterable[str]:
    """For each way the releases may be: the first role whose release is too old, or nothing."""
    ways: set[str] = {""}
    for role, needed in sorted(capability.releases.items()):
        known = way.releases.get(role)
        if needed == 0:
            continue
        if known is None:
            ways.add(role)
        elif max(known) < needed:
            return {role}
        elif min(known) < needed:
            ways.add(role)
    return sorted(ways)


def reports_error(hub: Hub, capability: Capability, accessories: Mapping[str, int]) -> bool:
    """Whether more is connected than the model is allowed, and it reports an error for it."""
    allowance = hub.model.allows.get(capability.id, NOT_ALLOWED)
    connected = accessories.get(capability.accessory or "", 0)
    return (
        capability.is_count and connected > allowance.amount and allowance.overload is Overload.REPORTS_ERROR
    )
