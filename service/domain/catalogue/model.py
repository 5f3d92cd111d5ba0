"""What a catalogue says, as immutable values: the maker's papers and the dealer's price list.

Nothing here knows of files, lines or faults; `service.papers` reads a catalogue file into these
values and refuses one that has faults. Identifiers refer to each other by their plain text, and
a `Catalogue` that reached this form has no dangling reference.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from service.domain.catalogue.upgrades import Upgrades
from service.domain.serials import Scheme
from service.domain.software.releases import Software
from service.domain.terms import (
    BindingPolicy,
    CapabilityId,
    FamilyId,
    FeatureId,
    FunctionId,
    MarketId,
    ModelId,
    Overload,
    PartNumber,
    RoleId,
    StepKind,
    Who,
)

NO_SOFTWARE = Software(roles=(), releases={})
SINGLE_PLACE = ""
"""The name of the only place of a role that has just one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Connection:
    """Through which other board and by which cable a role reaches the rest of the unit."""

    through: RoleId
    cable: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """A place, or several equal ones, that takes a board."""

    id: RoleId
    name: str
    where: str
    recognise: str
    functions: Mapping[FunctionId, str]
    """Function id to its name ("tilt_sensing": "tilt sensing")."""
    connection: Connection | None
    places: tuple[str, ...]
    """Names of the places, `(SINGLE_PLACE,)` where there is one."""
    releases: tuple[str, ...]
    """Software releases from oldest to newest; a release is its position here. `Catalogue.software` tells
    what each of them asks for, where they are versions."""
    safety: bool = True
    """Whether a safety function sits on it. It does unless the papers say otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardware:
    """What a capability needs of one role: a feature of the part that is fitted there.

    A switch needs the feature present; a count takes the feature's number. Over a role with
    several places every place needs the feature, and a count is the sum.
    """

    role: RoleId
    feature: FeatureId


@dataclass(frozen=True, slots=True, kw_only=True)
class Capability:
    """What a unit does for its owner: a switch (`is_count` false) or a count of something."""

    id: CapabilityId
    name: str
    is_count: bool
    hardware: tuple[Hardware, ...]
    accessory: str | None
    """The accessory it needs fitted; for a count, the accessory that is counted as connected."""
    releases: Mapping[RoleId, int]
    """Per role, the position of the first release that can do it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """What a model is allowed of a capability: 0/1 for a switch, a number for a count."""

    amount: int
    overload: Overload = Overload.IGNORED
    planned: bool = False
    """Announced for a later release: not available now."""
    markets: frozenset[MarketId] | None = None
    """Where the permission is valid; None is everywhere."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelRole:
    """How a model uses a role."""

    role: RoleId
    required: bool = True
    features: frozenset[FeatureId] = frozenset()
    """Features that the board in this role must have."""
    markets: frozenset[MarketId] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """How one kind of step is done in a family."""

    kind: StepKind
    who: Who
    minutes: tuple[int, int]
    """Bench minutes, least and most."""
    tool: bool
    """Needs the programming tool."""
    subject: str = ""
    """For `activate`: what is set up ("charging_station")."""
    subject_name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Models that belong together, and how the shop works on them."""

    id: FamilyId
    name: str
    covered: bool
    """False: the family is known and this catalogue gives no answers about it."""
    power_on_binds: bool
    """A blank follower takes its model at first power-on, without the programming tool."""
    matched_pair_needs_introducing: bool
    """Two boards introduced to each other elsewhere must be introduced again when moved together."""
    another_serial_allowed: bool
    """A naming board that holds the serial of a unit in service elsewhere may be given another."""
    always_enter_serial: bool
    """A bound naming board always gets the unit's serial, not only when it holds one in service."""
    procedures: tuple[Procedure, ...]
    """The order of work; each step kind at most once, `activate` once for each subject."""
    free_part_needs: Mapping[RoleId, tuple[StepKind, ...]]
    """What a newly fitted free part still needs (`calibrate`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """What is sold under one name."""

    id: ModelId
    name: str
    family: FamilyId
    markets: frozenset[MarketId]
    roles: Mapping[RoleId, ModelRole]
    allows: Mapping[CapabilityId, Allowance]
    """A capability that is not named here is not allowed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One row of a part's list: models, and at most one break, on the serial or on the date."""

    models: frozenset[ModelId]
    serial_from: str | None = None
    """Inclusive, a plate serial; compared by its scheme's order key."""
    serial_before: str | None = None
    """Exclusive."""
    date_from: date | None = None
    date_before: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """This part may go where `part` is listed, with the breaks of `part`."""

    part: PartNumber
    both_ways: bool = False
    """`part` may also go where this one is listed."""
    models: frozenset[ModelId] | None = None
    """Only for these models; None is for all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """What goes with a swap: a seal, a cable, a bag."""

    number: PartNumber
    name: str
    price: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What can be ordered."""

    number: PartNumber
    name: str
    role: RoleId
    binding: BindingPolicy
    features: Mapping[FeatureId, int]
    """Hardware on the board: 1 for a switch, a number for a count."""
    printed: tuple[str, ...]
    """Numbers printed on the board itself, which differ from the order number."""
    listings: tuple[Listing, ...]
    markets: frozenset[MarketId] | None
    replaces: tuple[Replacement, ...]
    companions: tuple[Companion, ...]
    price: Decimal | None
    lead_days: int | None
    release: int | None = None
    """Position of the release that a new board arrives with."""
    used_price: Decimal | None = None
    """What the dealer asks for a used board of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleTerms:
    """What the dealer charges and says with a sale in one market."""

    tax_rate: Decimal
    """In percent."""
    prices_include_tax: bool
    programming_fee: Decimal
    labour_per_hour: Decimal
    receipt: str
    returns: str
    own_board: str | None = None
    """The terms for a board that the customer brings; None where the dealer takes none."""
    warranty_months: int | None = None
    """For so many months after its making a machine may be under the maker's warranty; None: none is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """The dealer's terms of sale."""

    valid_days: int
    """For so many days a quoted price is honoured."""
    terms: Mapping[MarketId, SaleTerms]


@dataclass(frozen=True, slots=True, kw_only=True)
class Campaign:
    """Something that the maker puts right at its own cost; at most one break, as in a part's list."""

    id: str
    name: str
    text: str
    """What the shop has to know or do."""
    models: frozenset[ModelId] | None = None
    """The machines it is for; None is all."""
    parts: frozenset[PartNumber] | None = None
    """The boards it is for; None is all."""
    serial_from: str | None = None
    serial_before: str | None = None
    date_from: date | None = None
    date_before: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Catalogue:
    """One revision, whole. Immutable; the answers are functions of it, the facts and the question."""

    revision: str
    """`r-` and the first 16 hex digits of the SHA-256 of the canonical document."""
    maker: str
    dealer: str
    currency: str
    markets: Mapping[MarketId, str]
    schemes: tuple[Scheme, ...]
    roles: Mapping[RoleId, Role]
    capabilities: Mapping[CapabilityId, Capability]
    families: Mapping[FamilyId, Family]
    models: Mapping[ModelId, Model]
    parts: Mapping[PartNumber, Part]
    features: Mapping[FeatureId, str] = field(default_factory=dict)
    """Feature id to its name, for the words."""
    accessories: Mapping[str, str] = field(default_factory=dict)
    """Accessory id to its name."""
    software: Software = NO_SOFTWARE
    """The releases of every role whose releases are versions, with what each of them asks for. A role whose
    releases are names alone is not in it: of such nobody knows which go together."""
    sale: Sale | None = None
    """None: this catalogue prices no sale."""
    campaigns: tuple[Campaign, ...] = ()
    translations: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """By the code of a language, texts of this catalogue and how that language says them."""
    upgrades: Upgrades | None = None
    """None: this catalogue prices no upgrade, and converts no machine."""

    def __hash__(self) -> int:
        return hash(self.revision)

    def __eq__(self, other: object) -> bool:
        """Equal content has one revision id and one revision id has one content, so the id tells."""
        return isinstance(other, Catalogue) and self.revision == other.revision
