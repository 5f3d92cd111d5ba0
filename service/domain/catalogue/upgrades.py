"""What the dealer's list says of upgrades: prices of machines and accessories, and one model made another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.domain.terms import ModelId


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineFigures:
    """What the papers say a machine of a model does; None where they do not say. Greater than zero."""

    draw_watts: Decimal | None = None
    """On average, while it mows."""
    usable_share: Decimal | None = None
    """Which part of a pack's energy it uses before it goes to charge: up to 1."""
    charge_amps: Decimal | None = None
    """Of its station, for all packs together."""
    cutting_width_m: Decimal | None = None
    speed_m_per_s: Decimal | None = None
    """While it mows."""
    allowed_hours: Decimal | None = None
    """So many hours a day it may mow: up to 24."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelOffer:
    """A machine as it is sold and taken back, and what it does."""

    price: Decimal | None = None
    """Of a new one; None: it is not sold any more."""
    trade_in: Decimal | None = None
    """What is given for a used one; None: none is taken."""
    lead_days: int | None = None
    performance: MachineFigures = MachineFigures()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A pack whose energy is known, as its label has it."""

    volts: Decimal
    amp_hours: Decimal
    cell_watt_hours: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessoryOffer:
    """An accessory as it is sold."""

    number: str
    price: Decimal
    lead_days: int | None = None
    volts: Decimal | None = None
    """Of a pack that the machine mows on: its nominal voltage. None for any other accessory."""
    amp_hours: Decimal | None = None
    cell_watt_hours: Decimal | None = None
    """Of each cell in the pack: shipping has a limit for these too."""

    @property
    def pack(self) -> Pack | None:
        """The pack that it is; None for what is none, or one of which the papers do not say enough."""
        if self.volts is None or self.amp_hours is None:
            return None
        return Pack(volts=self.volts, amp_hours=self.amp_hours, cell_watt_hours=self.cell_watt_hours)


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
