"""Rule 10 in the worlds of one hub: boards whose software has to go together are one block.

Whether a set of releases goes together on the boards and can be reached is no verdict of one board. So the
boards that needs of releases join (`software.reaching.joined_roles`) are looked at together: each way in
which they may be, part by part and release by release, has a rank like a board's own.

Domains: an unknown release is any that runs on the part. Boards that stay work: what is unknown of them,
their parts too, goes together as it is, where what is known allows it. And where loads can bring everything
together whatever is on the boards, nothing hangs on what is unknown, and it is taken to go together as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from service.domain.catalogue.compiled import CompiledModel
from service.domain.catalogue.hub import Hub
from service.domain.fit.joint import Joint, Kind, Standing, Way
from service.domain.place import Place
from service.domain.rules import FITS, FITS_WITH_TOOL
from service.domain.rules.finding import Finding
from service.domain.rules.releases import do_not_go_together, must_be_loaded
from service.domain.software.bound import BoundExceeded
from service.domain.software.reaching import joined_roles
from service.domain.software.releases import Software
from service.domain.software.starts import Start, Starts
from service.domain.software.task import Board, Carried, Task, all_that_runs, told_as_fact
from service.domain.software.versions import parse_version
from service.domain.terms import PartNumber, Rule, StepKind

MOST_KINDS = 64
"""So many combinations of parts that differ in what runs on them are gone through; past it nobody knows."""


class Group(NamedTuple):
    """Places of a hub whose boards the needs of releases join."""

    places: tuple[Place, ...]
    """In the order of the software's roles."""
    safe: bool
    """Loads bring them together whatever is on them, and whichever parts they are."""


class Groups(NamedTuple):
    """The groups of a hub."""

    all: tuple[Group, ...]
    safe: bool
    """Every one of them is."""


@lru_cache(maxsize=4_096)
def groups_of(hub: Hub) -> Groups:
    """The groups of a hub: every role with software is in one, for an unlisted release has to be replaced."""
    found = (
        tuple(place for role in roles for place in hub.places if place.role == role)
        for roles in joined_roles(hub.compiled.catalogue.software)
    )
    groups = tuple(Group(places, _is_safe(hub.owner, places)) for places in found if places)
    return Groups(groups, all(group.safe for group in groups))


def joints_of(
    hub: Hub, releases: Mapping[Place, frozenset[str] | None], stand: Callable[[Place], Standing | None]
) -> tuple[Joint, ...]:
    """The groups of a resulting set of which there is more to say than that they go together.

    `releases` are those that are known, and `stand` tells what stands in a place; None: nothing.
    """
    found = []
    for group in groups_of(hub).all:
        if group.safe and not any(releases.get(place) for place in group.places):
            continue
        there = tuple(each for place in group.places if (each := stand(place)) is not None)
        joint = _joint(hub.owner, there)
        if joint is not None:
            found.append(joint)
    return tuple(found)


def may_go_together(hub: Hub, there: Sequence[Standing]) -> bool:
    """Whether there is a way in which these boards of a group go together, or can be brought to."""
    joint = _joint(hub.owner, tuple(there))
    return joint is None or any(way.rank > Rule.RELEASES for way in joint.ways)


@lru_cache(maxsize=1_024)
def _joint(owner: CompiledModel, there: tuple[Standing, ...]) -> Joint | None:
    """None where the boards go together as they are, whatever is unknown."""
    every = list(product(*(_kinds(owner, board.parts) for board in there)))
    found = [(kinds, _starts(owner, there, kinds) if len(every) <= MOST_KINDS else None) for kinds in every]
    ways = tuple(
        way for kinds, starts in _in_question(there, found) for way in _ways(owner, there, kinds, starts)
    )
    past_bound = any(starts is None for _, starts in found)
    places = tuple(board.place for board in there)
    if past_bound or any(way.rank != FITS for way in ways):
        return Joint(places, ways, past_bound)
    # Nothing hangs on a release; it may still be that not all parts go with each other.
    whole = tuple(Way(kinds, (), FITS, ()) for kinds in dict.fromkeys(way.parts for way in ways))
    return Joint(places, whole, past_bound) if len(whole) < len(every) else None


Kinds = tuple[Kind, ...]
Open = tuple[Starts, Sequence[Start]] | None
"""The starts of boards, and those of them that there may be. None: nobody went through them."""


def _starts(owner: CompiledModel, there: Sequence[Standing], kinds: Kinds) -> Open:
    try:
        starts = Starts(_task(owner, there, kinds))
    except BoundExceeded:
        return None
    return starts, starts.all


def _in_question(
    there: Sequence[Standing], found: Sequence[tuple[Kinds, Open]]
) -> Iterator[tuple[Kinds, Open]]:
    """What there may be: see the domains above."""
    staying = frozenset(board.place for board in there if board.stays)
    working = [
        (kinds, of and (of[0], [start for start in of[1] if of[0].together(start, staying)]))
        for kinds, of in found
    ]
    left = [(kinds, of) for kinds, of in working if of is None or of[1]]
    for kinds, of in left if any(of is not None for _, of in left) else found:
        yield kinds, of and (of[0], _unless_mended(*of))


def _unless_mended(starts: Starts, found: Sequence[Start]) -> Sequence[Start]:
    """Those that go together as they are, where loads would mend all others."""
    try:
        mended = all(starts.possible(start) for start in found)
    except BoundExceeded:
        return found
    return (mended and [start for start in found if start.fits_now]) or found


def _ways(owner: CompiledModel, there: Sequence[Standing], kinds: Kinds, of: Open) -> Iterator[Way]:
    """The ways with these parts."""
    starts, found = of or (None, ())
    if starts is None:
        yield from _open_ways(kinds, ())
        return
    for start in found:
        releases = tuple(tuple(map(told_as_fact, carried)) for carried in start.carried)
        try:
            loads = starts.loads(start)
        except BoundExceeded:
            yield from _open_ways(kinds, releases)
            continue
        if loads is None:
            yield Way(kinds, releases, Rule.RELEASES, (_refused(owner, there, kinds, start.carried),))
        else:
            rank = FITS_WITH_TOOL if loads and _takes_tool(owner) else FITS
            yield Way(kinds, releases, rank, (must_be_loaded(owner, loads),) if loads else (), loads)


def _open_ways(kinds: Kinds, releases: tuple[tuple[str, ...], ...]) -> tuple[Way, Way]:
    """Nobody knows: they may go together, and they may not."""
    return Way(kinds, releases, Rule.RELEASES, ()), Way(kinds, releases, FITS, ())


def _task(owner: CompiledModel, there: Sequence[Standing], kinds: Kinds) -> Task:
    software = owner.compiled.catalogue.software
    boards = tuple(
        Board(place=board.place, part=min(kind), may_carry=_may_carry(software, board, min(kind)))
        for board, kind in zip(there, kinds, strict=True)
    )
    return Task(software=software, model=owner.model.id, boards=boards)


def _may_carry(software: Software, board: Standing, part: PartNumber) -> frozenset[Carried]:
    """What may be on a board. One on which no release runs carries nothing that answers."""
    if board.releases is not None:
        return frozenset(map(parse_version, board.releases))
    return all_that_runs(software, board.place.role, part) or frozenset((None,))


def _takes_tool(owner: CompiledModel) -> bool:
    """Whether loading takes the programming tool. It does where nobody says how it is done."""
    procedures = [each for each in owner.family.procedures if each.kind is StepKind.LOAD]
    return not procedures or any(each.tool for each in procedures)


def _refused(
    owner: CompiledModel, there: Sequence[Standing], kinds: Kinds, releases: Sequence[Sequence[Carried]]
) -> Finding:
    """Told of the first board that is proposed, else of the first."""
    task = _task(owner, there, kinds)
    boards = tuple(
        Board(place=board.place, part=board.part, may_carry=frozenset(carried[:1]))
        for board, carried in zip(task.boards, releases, strict=True)
    )
    at = next((board.place for board in there if not board.stays), there[0].place)
    return do_not_go_together(owner, at, Task(software=task.software, model=task.model, boards=boards))


def _is_safe(owner: CompiledModel, places: tuple[Place, ...]) -> bool:
    """Whether every start can be brought together, whichever parts of their roles these boards are.

    Fewer boards ask for less: then it is so too where places are empty, as long as no need asks for a board.
    """
    software = owner.compiled.catalogue.software
    roles = {place.role for place in places}
    needs = (need for role in roles for each in software.releases[role] for need in each.needs.values())
    if any(need.must_be_there for need in needs):
        return False
    there = [
        Standing(p, frozenset(owner.compiled.parts_of_role.get(p.role, ())), None, False) for p in places
    ]
    every = list(product(*(_kinds(owner, board.parts) for board in there)))
    return len(every) <= MOST_KINDS and all(_always(owner, there, kinds) for kinds in every)


def _kinds(owner: CompiledModel, parts: frozenset[PartNumber]) -> list[Kind]:
    """The parts, those on which the same releases run together."""
    alike: dict[frozenset[Carried], list[PartNumber]] = {}
    for part in sorted(parts):
        alike.setdefault(owner.compiled.running[part], []).append(part)
    return list(map(frozenset, alike.values()))


def _always(owner: CompiledModel, there: Sequence[Standing], kinds: Kinds) -> bool:
    """Whether loads bring these boards together whatever is on them, as far as one can tell in time."""
    try:
        starts = Starts(_task(owner, there, kinds))
        return all(starts.possible(start) for start in starts.all)
    except BoundExceeded:
        return False
