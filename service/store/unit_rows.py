"""A unit's state to its row, and back, without loss."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from service.domain.facts.records import UnitRecord
from service.domain.ledger.states import NOBODY_SEATED, Link, Seating, UnitState
from service.domain.place import Place
from service.domain.terms import RoleId, Serial
from service.store.packing import Row, holds_in, holds_out, packed, unpacked
from service.store.tables import UNITS

_NOWHERE: frozenset[Place] = frozenset()

UNIT_COLUMNS = (
    UNITS.c.serial,
    UNITS.c.version,
    UNITS.c.registered,
    UNITS.c.in_service,
    UNITS.c.model,
    UNITS.c.market,
    UNITS.c.made_on,
    UNITS.c.rest,
)
"""The columns that make a unit's state, in the order in which `unit_state` takes them."""


def unit_row(state: UnitState) -> Row:
    """The row that a unit's state is kept as."""
    record = state.record
    rest = {
        "accessories": dict(record.accessories),
        "holds": holds_out(record.holds),
        "emptied": _places_out(record.emptied),
        "changed": _places_out(record.changed),
        "ended": state.ended,
        "converted": record.converted,
        **_seating_out(state.seating),
    }
    return {
        "serial": record.serial,
        "version": record.version,
        "registered": record.registered,
        "in_service": record.in_service,
        "model": record.model,
        "market": record.market,
        "made_on": record.made_on.isoformat() if record.made_on else None,
        "held": bool(record.holds),
        "rest": packed(rest),
    }


def unit_state(columns: Sequence[Any]) -> UnitState:
    """The state that UNIT_COLUMNS keep."""
    serial, version, registered, in_service, model, market, made_on, rest = columns
    told = unpacked(rest)
    record = UnitRecord(
        serial=serial,
        version=version,
        registered=bool(registered),
        in_service=bool(in_service),
        model=model,
        market=market,
        made_on=date.fromisoformat(made_on) if made_on else None,
        emptied=_places_in(told.get("emptied")),
        changed=_places_in(told.get("changed")),
        converted="converted" in told,
        accessories=told.get("accessories", {}),
        holds=holds_in(told),
    )
    return UnitState(record=record, seating=_seating_in(told), ended=int(told.get("ended", 0)))


def _places_out(places: Iterable[tuple[RoleId, str]]) -> list[list[str]]:
    return [list(place) for place in sorted(places)]


def _places_in(told: list[list[str]] | None) -> frozenset[Place]:
    return frozenset(Place(RoleId(role), name) for role, name in told) if told else _NOWHERE


def _seats_out(seats: Mapping[Place, Serial]) -> list[list[str]]:
    return [[*place, serial] for place, serial in sorted(seats.items())]


def _seats_in(told: list[list[str]]) -> dict[Place, Serial]:
    return {Place(RoleId(role), name): Serial(serial) for role, name, serial in told}


def _seating_out(seating: Seating) -> dict[str, Any]:
    return {
        "occupants": _seats_out(seating.occupants),
        "factory": _seats_out(seating.factory),
        "swapped": _places_out(seating.swapped),
        "naming": list(seating.naming or ()),
        "followers": _places_out(seating.followers),
        "links": [
            [*place, link.naming, link.follower, link.seq, link.certain]
            for place, link in sorted(seating.links.items())
        ],
    }


def _seating_in(told: Mapping[str, Any]) -> Seating:
    if not told:
        return NOBODY_SEATED
    naming = told.get("naming")
    return Seating(
        occupants=_seats_in(told.get("occupants", ())),
        factory=_seats_in(told.get("factory", ())),
        swapped=_places_in(told.get("swapped")),
        naming=Place(*naming) if naming else None,
        followers=_places_in(told.get("followers")),
        links={
            Place(role, name): Link(naming=names, follower=follows, seq=seq, certain=certain)
            for role, name, names, follows, seq, certain in told.get("links", ())
        },
    )
