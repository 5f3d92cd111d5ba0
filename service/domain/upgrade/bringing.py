"""Rule 10 for the boards of a block: what is loaded, on them and on those beside them, until all of them go
together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import product
from math import prod
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.fit.joined import groups_of
from service.domain.place import Place
from service.domain.software.bound import MOST_CASES
from service.domain.software.bound import BoundExceeded as SearchExceeded
from service.domain.software.plans import Load
from service.domain.software.ranges import exactly
from service.domain.software.starts import Starts
from service.domain.software.task import Board, Carried, Task
from service.domain.terms import PartNumber
from service.domain.upgrade.filling import Filling
from service.domain.upgrade.task import BoundExceeded

Loads = tuple[tuple[Place, int], ...]
"""Releases by position, in the order in which they are loaded."""


class Carrying(NamedTuple):
    """A board of a group, as far as its software is concerned."""

    place: Place
    part: PartNumber
    release: int | None
    """What is on it before anything is loaded, by position; None where nobody knows."""
    wanted: int | None
    """What it is to carry in the end; None: whatever goes with the others."""
    stays: bool


class Brought(NamedTuple):
    """The places of a block with what is loaded."""

    chosen: tuple[Filling, ...]
    loads: Loads


def brought_together(hub: Hub, chosen: tuple[Filling, ...]) -> Brought | None:
    """The same places with all that has to be loaded; None where nothing brings the boards together, and some
    of them is to be changed or loaded. Raises BoundExceeded."""
    groups = groups_of(hub).all
    if not groups:
        return Brought(
            chosen, tuple([(each.place, at) for each in chosen if each.loads for at in each.loads])
        )
    there = {each.place: each for each in chosen if each.board is not None}
    alone = {each.place: each.loads for each in chosen if each.loads}
    loads: list[tuple[Place, int]] = []
    for group in groups:
        boards = tuple(there[place] for place in group.places if place in there)
        if all(each.kept and not each.loads for each in boards):
            continue
        found = _loads(hub, tuple(_carrying(hub, each) for each in boards))
        if found is None:
            return None
        loads += found
        for place in group.places:
            alone.pop(place, None)
    joined = tuple(loads)
    rest = ((place, release) for place, releases in alone.items() for release in releases)
    return Brought(tuple(_with(each, joined) for each in chosen) if joined else chosen, (*joined, *rest))


def _carrying(hub: Hub, of: Filling) -> Carrying:
    assert of.board is not None
    before = of.before if of.loads else of.release
    return Carrying(of.place, hub.stand_in(of.board.part), before, of.release if of.loads else None, of.kept)


def _with(filling: Filling, loads: Loads) -> Filling:
    own = tuple(release for place, release in loads if place == filling.place)
    return replace(filling, loads=own, release=own[-1]) if own and own != filling.loads else filling


@lru_cache(maxsize=2_048)
def _loads(hub: Hub, boards: tuple[Carrying, ...]) -> Loads | None:
    """The loads until these boards go together and carry what is wanted. Where it is open what is on them as
    many as it may take; None where nothing leads there from something that may be on them."""
    software = hub.compiled.catalogue.software
    found: list[tuple[Load, ...]] = []
    for carried in _in_question(hub, boards):
        starts = Starts(_task(hub, boards, carried, wanted=True))
        try:
            loads = starts.loads(starts.all[0])
        except SearchExceeded as bound:
            raise BoundExceeded from bound
        if loads is None:
            return None
        found.append(loads)
    longest = max(found, key=len)
    listed = {role: [each.version for each in reversed(told)] for role, told in software.releases.items()}
    return tuple((place, listed[place.role].index(version)) for place, version in longest)


def _in_question(hub: Hub, boards: Sequence[Carrying]) -> Sequence[tuple[Carried, ...]]:
    """What may be on the boards: the domains of `fit.joined`. Raises BoundExceeded."""
    may_carry = [_may_carry(hub, board) for board in boards]
    if prod(map(len, may_carry)) > MOST_CASES:
        raise BoundExceeded
    every = [(carried, Starts(_task(hub, boards, carried))) for carried in product(*may_carry)]
    staying = frozenset(board.place for board in boards if board.stays)
    working = [each for each in every if each[1].together(each[1].all[0], staying)] or every
    try:
        mended = all(starts.possible(starts.all[0]) for _, starts in working)
    except SearchExceeded as bound:
        raise BoundExceeded from bound
    as_they_are = [each for each in working if each[1].all[0].fits_now] if mended else []
    return [carried for carried, _ in as_they_are or working]


def _may_carry(hub: Hub, board: Carrying) -> Sequence[Carried]:
    if board.release is None:
        return sorted(hub.compiled.running[board.part], key=str) or (None,)
    return (hub.compiled.catalogue.software.releases[board.place.role][-1 - board.release].version,)


def _task(hub: Hub, boards: Sequence[Carrying], carried: Sequence[Carried], *, wanted: bool = False) -> Task:
    software = hub.compiled.catalogue.software
    return Task(
        software=software,
        model=hub.model.id,
        boards=tuple(
            Board(place=board.place, part=board.part, may_carry=frozenset((each,)))
            for board, each in zip(boards, carried, strict=True)
        ),
        wanted={
            board.place.role: exactly(software.releases[board.place.role][-1 - board.wanted].version)
            for board in boards
            if wanted and board.wanted is not None
        },
    )
