"""Which boards were introduced to each other, and which pairs still stand.

A pair is introduced unless something says that one of the two was changed; the pair last introduced
in a unit, put back beside each other, is introduced again. An introduction that was started and not
finished leaves it open whether the two know each other.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from service.domain.facts.records import Introductions, Pair
from service.domain.ledger.meeting import met_at
from service.domain.ledger.seating import broken_off_at, place_in, seen, with_policy
from service.domain.ledger.states import (
    FACTORY_LINK,
    BoardState,
    Link,
    Seating,
    UnitState,
)
from service.domain.place import Place
from service.domain.terms import BindingPolicy, RoleId, Serial

NO_BOARD = Serial("")


def introduced_board(state: BoardState, data: Mapping[str, Any], seq: int, *, certain: bool) -> BoardState:
    """The board's side of an introduction: the follower's or the naming board's."""
    naming = Serial(data["naming"]["board"])
    follows = state.record.serial == data["board"]
    partner = naming if follows else Serial(data["board"])
    there = {**(data if follows else data["naming"]), "unit": data["unit"]}
    record = met_at(state.record, there, data.get("model"))
    return state._replace(
        record=record._replace(
            partner=partner if certain else None,
            introductions=_counted(record.introductions, Serial(data["unit"]), seq, follows=follows),
        ),
    )


def parted_board(state: BoardState, seq: int) -> BoardState:
    """A follower that was read out as not introduced."""
    known = replace(state.record.introductions, last=seq)
    return state._replace(record=state.record._replace(partner=None, introductions=known))


def introduced_unit(state: UnitState, data: Mapping[str, Any], seq: int, *, certain: bool) -> UnitState:
    """The unit's side of an introduction."""
    naming = data["naming"]
    at = place_in(naming)
    state = seen(state, at, Serial(naming["board"]))
    seating = with_policy(state.seating, at, BindingPolicy.NAMES)
    link = Link(naming=Serial(naming["board"]), follower=Serial(data["board"]), seq=seq, certain=certain)
    return _linked(state._replace(seating=seating), place_in(data), link)


def parted_unit(state: UnitState, data: Mapping[str, Any], seq: int) -> UnitState:
    """What sits in the follower's place was read out as not introduced."""
    return _linked(state, place_in(data), Link(naming=NO_BOARD, follower=Serial(data["board"]), seq=seq))


def broken_off_unit(state: UnitState, data: Mapping[str, Any], seq: int) -> UnitState:
    """An introduction that broke off."""
    return broken_off_at(introduced_unit(state, data, seq, certain=False), place_in(data))


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Which pairs of a unit do not stand. See `UnitRecord.not_introduced`."""

    broken: frozenset[Place] = frozenset()
    open: frozenset[Place] = frozenset()


ALL_STAND = Standing()
NO_PAIRS: Mapping[tuple[RoleId, str], Pair] = MappingProxyType({})


def standing(unit: UnitState, boards: Mapping[Place, BoardState]) -> Standing:
    """The pairs of a unit, given the boards that are recorded in it now.

    The naming board's own place stands for every follower of which no board is recorded: it is in
    `broken` when the board that names is not the one those were introduced to.
    """
    seating, emptied = unit.seating, unit.record.emptied
    if seating.naming in emptied or (seating.naming is None and not seating.followers):
        return ALL_STAND
    broken, open_ = set(), set()
    for place in seating.followers - emptied:
        link = seating.links.get(place, FACTORY_LINK)
        if not _stands(unit, boards, place, link):
            broken.add(place)
        elif not link.certain:
            open_.add(place)
    if seating.naming and not _names_still(unit, boards, FACTORY_LINK):
        broken.add(seating.naming)
    return Standing(broken=frozenset(broken), open=frozenset(open_))


def last_pairs(unit: UnitState) -> Mapping[tuple[RoleId, str], Pair]:
    """See `UnitRecord.last_pairs`."""
    seating = unit.seating
    if seating.naming is None and not seating.followers:
        return NO_PAIRS
    found = {place: seating.links.get(place, FACTORY_LINK) for place in seating.followers}
    if seating.naming is not None:
        found[seating.naming] = FACTORY_LINK
    return {
        place: _pair(seating, place, link)
        for place, link in found.items()
        if link.certain and link.naming != NO_BOARD
    }


def _pair(seating: Seating, place: Place, link: Link) -> Pair:
    """Who the two were, where the factory's boards became known since."""
    follower = None if place == seating.naming else link.follower or seating.factory.get(place)
    naming = link.naming
    if naming is None and seating.naming is not None:
        naming = seating.factory.get(seating.naming)
    return Pair(naming=naming, follower=follower, seq=link.seq)


def _counted(known: Introductions, unit: Serial, seq: int, *, follows: bool) -> Introductions:
    if follows:
        return replace(known, last=seq)
    if known.unit == unit:
        return known
    return replace(known, unit=unit, since=0 if known.unit is None else seq)


def _linked(state: UnitState, place: Place, link: Link) -> UnitState:
    seating = with_policy(state.seating, place, BindingPolicy.FOLLOWS)
    return state._replace(seating=replace(seating, links={**seating.links, place: link}))


def _stands(unit: UnitState, boards: Mapping[Place, BoardState], place: Place, link: Link) -> bool:
    if _back_together(unit, boards, place):
        return True
    if not _sits(unit.seating, boards, place, link.follower) or not _names_still(unit, boards, link):
        return False
    follower = boards.get(place)
    return follower is None or follower.record.introductions.last == link.seq


def _back_together(unit: UnitState, boards: Mapping[Place, BoardState], place: Place) -> bool:
    """Whether two boards were last introduced to each other, and in this unit, whatever was in their places
    meanwhile."""
    seating = unit.seating
    if seating.naming is None or not {place, seating.naming} <= boards.keys():
        return False
    follower, naming = boards[place].record, boards[seating.naming].record
    if follower.partner != naming.serial or naming.partner != follower.serial:
        return False
    factory = (seating.factory.get(place), seating.factory.get(seating.naming))
    return naming.introductions.unit == unit.record.serial or factory == (follower.serial, naming.serial)


def _names_still(unit: UnitState, boards: Mapping[Place, BoardState], link: Link) -> bool:
    """Whether the naming board of a link is in its place, and was introduced nowhere else since."""
    place = unit.seating.naming
    if place is None:
        return link.naming is None
    if not _sits(unit.seating, boards, place, link.naming):
        return False
    board = boards.get(place)
    if board is None:
        return True
    known = board.record.introductions
    return known.unit in {None, unit.record.serial} and link.seq >= known.since


def _sits(seating: Seating, boards: Mapping[Place, BoardState], place: Place, board: Serial | None) -> bool:
    """Whether a board (None: the factory's) is the one that sits in the place now."""
    here = boards.get(place)
    if here is None:
        return board is None and place not in seating.swapped and place not in seating.occupants
    if board is None:
        board = seating.factory.get(place)
    return here.record.serial == board
