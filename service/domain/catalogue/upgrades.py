"""What the dealer's list says of upgrades: prices of machines and accessories, and one model made another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.domain.terms import ModelId


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelOffer:
    """A machine as it is sold and taken back."""

    price: Decimal | None = None
    """Of a new one; None: it is not sold any more."""
    trade_in: Decimal | None = None
    """What is given for a used one; None: none is taken."""
    lead_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessoryOffer:
    """An accessory as it is sold."""

    number: str
    price: Decimal
    lead_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """A unit of one model may be made one of another: the maker issues a serial for this very unit."""

    source: ModelId
    target: ModelId
    price: Decimal
    """What the maker asks for the serial."""
    lead_days: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrades:
    """The section whole. A pair of models that `conversions` does not name can never be converted."""

    worth_it_share: Decimal
    """An upgrade is worth it up to this share of what trading up costs."""
    models: Mapping[ModelId, ModelOffer]
    accessories: Mapping[str, AccessoryOffer]
    conversions: tuple[Conversion, ...]

    def conversion(self, source: ModelId, target: ModelId) -> Conversion | None:
        """How a unit of one model is made one of another; None: never."""
        return next((c for c in self.conversions if (c.source, c.target) == (source, target)), None)
