"""Boards and units coming to be known, and boards changing places."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from service.domain.facts.records import BoardRecord, Hold
from service.domain.ledger import binding, seating
from service.domain.ledger.binding import with_binding
from service.domain.ledger.event import Event
from service.domain.ledger.meeting import met_at
from service.domain.ledger.pairs import introduced_board, introduced_unit, parted_board, parted_unit
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import BindingPolicy, MarketId, ModelId, PartNumber, Serial

UNDER_QUERY = "under_query"
"""The hold that a board gets when it turns up elsewhere than recorded."""


def described(record: BoardRecord, data: Mapping[str, Any]) -> BoardRecord:
    """What a block says of the board itself: part, binding, serial held, release."""
    record = with_binding(record, binding.observed(record.binding, data))
    if data.get("binding") == "blank":
        record = record._replace(held_serial=Serial(""))
    if "holds" in data:
        record = record._replace(held_serial=Serial(data["holds"]))
    if "part" in data:
        record = record._replace(part=PartNumber(data["part"]))
    return record._replace(release=release_in(data)) if "release" in data else record


def release_in(data: Mapping[str, Any]) -> str | None:
    """The name of the release that a block tells. The first ledgers kept positions, which nobody can read
    without the list of their day: what they tell is unknown."""
    told = data.get("release")
    return told if isinstance(told, str) else None


def gone(record: BoardRecord) -> BoardRecord:
    """The board went into other hands: what it holds, whether it is blank still, and whether it is sound,
    nobody knows."""
    record = with_binding(record, binding.out_of_custody(record.binding))
    return record._replace(in_custody=False, held_serial=None, tested=False)


def taken_in(record: BoardRecord, data: Mapping[str, Any]) -> BoardRecord:
    """The board came into our hands out of others, described as it came."""
    return described(record, data)._replace(in_custody=True, sold=False, tested=False)


def located_unit(state: UnitState, data: Mapping[str, Any]) -> UnitState:
    """The same, as the unit sees it: the board was met there."""
    if "role" not in data:
        return state
    place = seating.place_in(data)
    seats = seating.with_policy(state.seating, place, data["policy"])
    return seating.seen(state._replace(seating=seats), place, Serial(data["board"]))


def registered_board(state: BoardState, event: Event) -> BoardState:
    if "board" in event.data:
        return state._replace(record=described(state.record, event.data))
    serial = state.record.serial
    block = next(entry for entry in event.data["boards"] if entry["board"] == serial)
    there = {**block, "unit": event.data["unit"]}
    record = described(met_at(state.record, there, event.data.get("model")), block)
    partner = _factory_partner(block, event.data["boards"])
    return state._replace(record=record._replace(partner=partner or record.partner))


def registered_unit(state: UnitState, event: Event) -> UnitState:
    state = plated(state, event.data)
    for block in event.data.get("boards", ()):
        state = located_unit(state, block)
    return state


def plated(state: UnitState, data: Mapping[str, Any]) -> UnitState:
    """What plate and papers say of a unit, which is registered from now on."""
    record = state.record
    record = record._replace(
        registered=True,
        in_service=not state.ended,
        model=ModelId(data["model"]) if "model" in data else record.model,
        market=MarketId(data["market"]) if "market" in data else record.market,
        made_on=date.fromisoformat(data["made_on"]) if "made_on" in data else record.made_on,
    )
    return state._replace(record=record)


def received_board(state: BoardState, event: Event) -> BoardState:
    return state._replace(record=taken_in(state.record, event.data))


def read_out_board(state: BoardState, event: Event) -> BoardState:
    data = event.data
    if data["board"] == state.record.serial:
        state = state._replace(record=described(met_at(state.record, data), data))
    match data.get("introduced"):
        case True:
            return introduced_board(state, data, event.seq, certain=True)
        case False:
            return parted_board(state, event.seq)
        case _:
            return state


def read_out_unit(state: UnitState, event: Event) -> UnitState:
    state = located_unit(state, event.data)
    match event.data.get("introduced"):
        case True:
            return introduced_unit(state, event.data, event.seq, certain=True)
        case False:
            return parted_unit(state, event.data, event.seq)
        case _:
            return state


def fitted_board(state: BoardState, event: Event) -> BoardState:
    record = seating.located(described(state.record, event.data), event.data)
    record = with_binding(record, binding.attempted(record.binding, event.data.get("model")))
    # It goes out with the unit: a test from before tells nothing of the day it is taken out again.
    return state._replace(record=record._replace(tested=False))


def fitted_unit(state: UnitState, event: Event) -> UnitState:
    place = seating.place_in(event.data)
    seats = seating.with_policy(state.seating, place, event.data["policy"])
    return seating.fitted(state._replace(seating=seats), place, Serial(event.data["board"]))


def removed_board(state: BoardState, event: Event) -> BoardState:
    if event.data.get("recorded") == state.record.serial:
        return state._replace(record=_not_there(state.record, event.data))
    record = _nowhere(met_at(state.record, event.data))
    record = record._replace(donor=Serial(event.data["unit"]), in_custody=True)
    return state._replace(record=record if event.data.get("kept", True) else gone(record))


def _not_there(record: BoardRecord, data: Mapping[str, Any]) -> BoardRecord:
    """The board was recorded where one came out whose serial could not be read: that one, or another that had
    taken its place. It sits there no more, and where it is nobody knows."""
    at = seating.place_in(data)
    if (record.in_unit, record.role, record.place) != (data["unit"], at.role, at.name):
        return record
    return gone(_nowhere(record))._replace(donor=Serial(data["unit"]))


def removed_unit(state: UnitState, event: Event) -> UnitState:
    place = seating.place_in(event.data)
    seats = seating.with_policy(state.seating, place, event.data["policy"])
    return seating.removed(state._replace(seating=seats), place, event.data.get("board"))


def found_board(state: BoardState, event: Event) -> BoardState:
    """A board recorded elsewhere turned up: its old place is closed and it goes under query."""
    data, record = event.data, gone(_nowhere(state.record))
    if "was" in data:
        record = record._replace(donor=Serial(data["was"]["unit"]))
    record = seating.located(record, data)._replace(
        in_custody=data["in_custody"],
        sold=False,
        holds=(*record.holds, Hold(kind=UNDER_QUERY, since=event.seq)),
    )
    return state._replace(record=record)


def found_unit(state: UnitState, event: Event) -> UnitState:
    data = event.data
    was = data.get("was")
    if was and was["unit"] == state.record.serial:
        state = seating.removed(state, seating.place_in(was), Serial(data["board"]))
    return fitted_unit(state, event) if data.get("unit") == state.record.serial else state


def _nowhere(record: BoardRecord) -> BoardRecord:
    return record._replace(in_unit=None, role=None, place="")


def _factory_partner(block: Mapping[str, Any], boards: list[Mapping[str, Any]]) -> Serial | None:
    """In a set that the factory fitted, the board that names and those that follow know each other."""
    others = {BindingPolicy.NAMES: BindingPolicy.FOLLOWS, BindingPolicy.FOLLOWS: BindingPolicy.NAMES}
    other = others.get(block["policy"])
    partners = [entry["board"] for entry in boards if entry["policy"] == other]
    return Serial(partners[-1]) if partners else None
