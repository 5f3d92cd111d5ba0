"""Trading up: a new machine that can do what is wanted as it is made, and all that the old one may do, less
what is given for the old one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.upgrades import Upgrades
from service.domain.terms import CapabilityId, ModelId
from service.domain.upgrade.standing import Standing
from service.domain.upgrade.wanted import Wanted, permission


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeUp:
    """A new machine for the old one."""

    model: ModelId
    price: Decimal
    accessories: Mapping[str, int]
    """What has to be bought besides; their price is in `price`."""
    trade_in: Decimal
    """What is given for the old machine; 0 where nothing is."""
    lead_days: int | None

    @property
    def to_pay(self) -> Decimal:
        """What is left to pay; nothing is paid out."""
        return max(self.price - self.trade_in, Decimal(0))


def trade_ups(standing: Standing, wanted: Wanted) -> list[TradeUp]:
    """Every machine that is sold here and can do what is wanted, the cheapest first."""
    upgrades = standing.hub.compiled.catalogue.upgrades
    found = [] if upgrades is None else list(_trade_ups(standing, wanted, upgrades))
    return sorted(found, key=lambda each: (each.to_pay, each.model))


def _trade_ups(standing: Standing, wanted: Wanted, upgrades: Upgrades) -> Iterator[TradeUp]:
    old = upgrades.models.get(standing.hub.model.id)
    trade_in = (old.trade_in if old else None) or Decimal(0)
    for model, offer in upgrades.models.items():
        hub = newest(standing.hub, model)
        if offer.price is None or model == standing.hub.model.id or hub is None:
            continue
        if not _can(hub, wanted) or not _no_less(hub, standing.hub):
            continue
        accessories = _accessories(hub, wanted)
        if not accessories.keys() <= upgrades.accessories.keys():
            continue
        besides = sum(
            (upgrades.accessories[name].price * count for name, count in accessories.items()), Decimal(0)
        )
        yield TradeUp(
            model=model,
            price=offer.price + besides,
            accessories=accessories,
            trade_in=trade_in,
            lead_days=offer.lead_days,
        )


def newest(hub: Hub, model: ModelId) -> Hub | None:
    """A machine of a model as it is made today, for the same market; None where it is not sold there."""
    owner = hub.compiled.models[model]
    if hub.market not in owner.model.markets or not owner.family.covered:
        return None
    return owner.hub(owner.serial_cells - 1, owner.date_cells - 1, hub.market)


def _can(hub: Hub, wanted: Wanted) -> bool:
    """Whether a new one can do all of it: it is allowed, and whichever listed board it has brings it."""
    return all(
        not permission(hub, name, amount) and _has(hub, name, amount) for name, amount in wanted.items()
    )


def _no_less(hub: Hub, old: Hub) -> bool:
    """Whether a new one is allowed all that the old one is: what can do less is no trading up."""
    allowed = ((name, each.amount) for name, each in old.model.allows.items() if each.amount)
    return all(
        not permission(hub, name, amount) for name, amount in allowed if not permission(old, name, amount)
    )


def _has(hub: Hub, name: CapabilityId, amount: int) -> bool:
    capability = hub.compiled.catalogue.capabilities[name]
    for need in capability.hardware:
        parts = hub.factory_parts(need.role) if need.role in hub.roles else ()
        places = sum(place.role == need.role for place in hub.places) if capability.is_count else 1
        values = [hub.parts[number].features.get(need.feature, 0) * places for number in parts]
        if min(values, default=0) < amount:
            return False
    return True


def _accessories(hub: Hub, wanted: Wanted) -> dict[str, int]:
    """What the wants take besides the machine, less what every machine comes with to run at all: one."""
    capabilities = hub.compiled.catalogue.capabilities
    most: dict[str, int] = {}
    for name, amount in wanted.items():
        accessory = capabilities[name].accessory
        more = amount - 1 if capabilities[name].is_count else 1
        if accessory is not None and more > 0:
            most[accessory] = max(most.get(accessory, 0), more)
    return most
