"""The ways to fill the places of one aim that can matter, worked out once for all approaches to it."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from functools import lru_cache

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.filling import Filling, binds, from_stock, kept, loaded, ordered, taken_out
from service.domain.upgrade.seats import Seating, judged
from service.domain.upgrade.wanted import Need, worth


class Ways:
    """What can be done with each place, and how the boards would stand there."""

    def __init__(self, aim: Aim) -> None:
        """Take what the plan is for."""
        self.aim = aim
        self.seating = Seating(aim)
        self._known: dict[tuple[Place, bool, bool], tuple[Filling, ...]] = {}

    def staying(self, place: Place) -> tuple[Filling, ...]:
        """The place as it is: one way, or none."""
        return tuple(kept(self.aim.standing, self.aim.hub, place))

    def of(self, place: Place, allowed: Allowed) -> tuple[Filling, ...]:
        """Every way that can matter."""
        key = place, allowed.boards, allowed.loads
        if key not in self._known:
            self._known[key] = tuple(self._mattering(place, allowed))
        return self._known[key]

    def _mattering(self, place: Place, allowed: Allowed) -> Iterator[Filling]:
        """The ways without those that a better one can always stand in for.

        Those of one kind take the same work beside whatever else there is. Of these the cheapest come first,
        and one is left out where those before it that have no less of what is needed are enough: a single
        new board, which can be had as often as it is wanted, or as many boards from stock as the role has
        places.
        """
        needs = self.aim.needs_in((place.role,))
        loads = allowed.loads and any(need.kind == "release" for need in needs)
        kinds: dict[Kind, list[Filling]] = {}
        for kind, each in self._all(place, needs, allowed, loads=loads):
            kinds.setdefault(kind, []).append(each)
        for alike in kinds.values():
            yield from best_of(self.aim.hub, alike, needs)

    def _all(
        self, place: Place, needs: tuple[Need, ...], allowed: Allowed, *, loads: bool
    ) -> Iterator[tuple[Kind, Filling]]:
        aim = self.aim
        found = [*kept(aim.standing, aim.hub, place)]
        if allowed.boards:
            found += taken_out(aim.standing, aim.hub, place)
            found += [from_stock(aim.hub, place, each) for each in aim.offers.stock.get(place.role, ())]
        yield from _of_kinds(aim, found, loads=loads)
        if allowed.boards and aim.offers.new_parts:
            yield from new_ones(aim.hub, place, needs, another_model=aim.another_model, loads=loads)


ASSORTMENTS = 1_024
"""So many assortments of new boards are remembered: whoever asks chooses the amounts, so it is kept small."""

Kind = tuple[object, ...]
"""What the work with a filling depends on; equal for those that take the same."""


@lru_cache(maxsize=ASSORTMENTS)
def new_ones(
    hub: Hub, place: Place, needs: tuple[Need, ...], *, another_model: bool, loads: bool
) -> tuple[tuple[Kind, Filling], ...]:
    """New boards, without those that another new one can stand in for. They are the same for every unit."""
    kinds: dict[Kind, list[Filling]] = {}
    for each in _with_loads(hub, ordered(hub, place), loads=loads):
        kind = _kind(hub, each, NOBODY, another_model=another_model)
        if kind is not None:
            kinds.setdefault(kind, []).append(each)
    return tuple((kind, each) for kind, alike in kinds.items() for each in best_of(hub, alike, needs))


def _of_kinds(aim: Aim, found: Iterable[Filling], *, loads: bool) -> Iterator[tuple[Kind, Filling]]:
    for each in _with_loads(aim.hub, found, loads=loads):
        known = aim.offers.acquaintances(each.known_as)
        kind = _kind(aim.hub, each, known, another_model=aim.another_model)
        if kind is not None:
            yield kind, each


def _with_loads(hub: Hub, found: Iterable[Filling], *, loads: bool) -> Iterator[Filling]:
    for each in found:
        yield each
        newer = loaded(hub, each) if loads else None
        if newer is not None:
            yield newer


Pairs = frozenset[tuple[Hashable, Hashable]]
NOBODY: Pairs = frozenset()


def _kind(hub: Hub, of: Filling, known: Pairs, *, another_model: bool) -> Kind | None:
    """Of what kind it is; None for a board that fits nowhere. Whether a follower stays introduced is for the
    board beside it to say, so either is looked at; `known`: the boards that know this one."""
    board = of.board
    if board is None:
        return of.kept, None
    may_be = sorted({board.introduced, False, bool(known)})
    said = [judged(hub, board._replace(introduced=so), another_model=another_model) for so in may_be]
    if not any(said):
        return None
    unread = of.serial is None and binds(hub, of)
    release = of.release if place_is_joined(hub, of.place) else None
    return of.kept, board._replace(part=hub.stand_in(board.part)), *said, unread, of.loads, release, known


def place_is_joined(hub: Hub, place: Place) -> bool:
    """Whether what the board there runs is anything to other boards."""
    return place.role in hub.compiled.joined_roles


def best_of(hub: Hub, alike: Sequence[Filling], needs: Sequence[Need]) -> Iterator[Filling]:
    """Of fillings of one kind, those that no other can stand in for."""
    if len(alike) == 1:
        yield from alike
        return
    places = sum(place.role == alike[0].place.role for place in hub.places)
    before: list[tuple[tuple[int, ...], Filling]] = []
    for each in sorted(alike, key=lambda filling: (filling.cost, filling.name)):
        has = tuple(worth(hub, need, each) for need in needs)
        better = [other for had, other in before if all(map(int.__ge__, had, has))]
        if len(better) < places and all(other.serial for other in better):
            before.append((has, each))
            yield each
