"""What the ledger knows of single boards and units: the input that a question gathers.

These are values. `service.domain.ledger.fold` makes them from events; `service.store` keeps them
as a cache and hands them out set by set; the rules never see an event.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from service.domain.terms import Condition, MarketId, ModelId, PartNumber, RoleId, Serial

BLANK = "blank"
"""The one value of a binding that is not a model."""


class BindingRecord(NamedTuple):
    """What readings and records say of one board's binding, joined in order of sequence.

    `values` holds `BLANK` and model ids; None is the whole domain ("nothing is known").
    `contradiction`: the values contradict each other and exactly those are left.
    `any_model`: besides the listed values, any model of the domain (used board: not blank).
    """

    values: frozenset[str] | None = None
    any_model: bool = False
    contradiction: bool = False


NOTHING_TOLD = BindingRecord()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A reason not to sell or to program.

    `kind` is `reported_stolen`, `recalled`, `locked_to_owner`, `owed_to_maker` or `under_query`.
    """

    kind: str
    since: int
    """Sequence number of the event that placed it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Introductions:
    """Which introduction of a board still counts. The factory's is number 0 and in no known unit."""

    unit: Serial | None = None
    """For a board that names: the unit of its last introduction."""
    since: int = 0
    """For a board that names: introductions with a lower number ended, it was introduced elsewhere since."""
    last: int = 0
    """For a board that follows: the event of its last introduction."""


FACTORY_INTRODUCED = Introductions()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A naming and a following board that were introduced to each other; None is one never recorded, which
    the factory fitted."""

    naming: Serial | None = None
    follower: Serial | None = None
    seq: int = 0
    """The event of their introduction; 0 for the factory's."""


class BoardRecord(NamedTuple):
    """All that is recorded of one board."""

    serial: Serial
    version: int
    """Count of events that spoke of this board."""
    part: PartNumber | None = None
    binding: BindingRecord = NOTHING_TOLD
    held_serial: Serial | None = None
    """The unit serial that it holds, where known; the empty string where it is known to hold none."""
    holder_in_service: bool | None = None
    """Whether the unit of that serial is registered and in service."""
    conditions: frozenset[Condition] = frozenset({Condition.USABLE})
    """More than one: it may be any of them ("maybe exposed")."""
    partner: Serial | None = None
    """The board it was last introduced to."""
    introductions: Introductions = FACTORY_INTRODUCED
    release: str | None = None
    """The name of its software release."""
    in_unit: Serial | None = None
    role: RoleId | None = None
    place: str = ""
    """Where it is fitted now, with `in_unit`; place is empty for a role with one place."""
    donor: Serial | None = None
    """The unit it was last taken out of."""
    donor_held: bool = False
    """Whether that unit is under a hold."""
    holds: tuple[Hold, ...] = ()
    in_custody: bool = False
    tested: bool = False
    """Passed a test since it was last exposed, fitted, in other hands, or written to without success."""
    sold: bool = False
    """Recorded as sold, and not as received, returned or found since."""


class UnitRecord(NamedTuple):
    """All that is recorded of one unit."""

    serial: Serial
    version: int
    registered: bool = False
    in_service: bool = False
    """Registered, and not dismantled, scrapped or converted. See `ended`."""
    model: ModelId | None = None
    market: MarketId | None = None
    made_on: date | None = None
    boards: Mapping[tuple[RoleId, str], BoardRecord] = MappingProxyType({})
    """Boards recorded as fitted, by role and place."""
    emptied: frozenset[tuple[RoleId, str]] = frozenset()
    """Places from which a board was removed and none fitted since."""
    changed: frozenset[tuple[RoleId, str]] = frozenset()
    """Places of which any event said that a board was fitted or removed there, or that a step broke off:
    no longer the factory's by assumption."""
    not_introduced: frozenset[tuple[RoleId, str]] = frozenset()
    """Follower places whose board is recorded as not introduced to the naming board beside it."""
    maybe_introduced: frozenset[tuple[RoleId, str]] = frozenset()
    """Follower places where an introduction broke off half way: unknown."""
    last_pairs: Mapping[tuple[RoleId, str], Pair] = MappingProxyType({})
    """The pair last introduced at a follower's place, whatever sits there now; none where it is not sure
    that there was one. The naming board's own place stands for every follower that was never recorded."""
    converted: bool = False
    """It was made out of a unit of another model: nothing in it is as a factory left it."""
    accessories: Mapping[str, int] = MappingProxyType({})
    holds: tuple[Hold, ...] = ()

    @property
    def ended(self) -> bool:
        """Whether it is recorded as out of service, which one that was never registered is not."""
        return self.registered and not self.in_service


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """What a gather brings: boards and units by serial, as of one ledger version."""

    boards: Mapping[Serial, BoardRecord]
    units: Mapping[Serial, UnitRecord]
    ledger_version: int
    """Sequence number of the last event taken into account."""
