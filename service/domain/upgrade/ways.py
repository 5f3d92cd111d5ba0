"""The ways to fill the places of one aim that can matter, worked out once for all approaches to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from service.domain.place import Place
from service.domain.terms import RoleId
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.filling import Filling, binds, fillings, kept, loaded
from service.domain.upgrade.seats import Seating
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
            needs = self.aim.needs_in((place.role,))
            self._known[key] = tuple(_mattering(self.seating, self._all(place, needs, allowed), needs))
        return self._known[key]

    def _all(self, place: Place, needs: Sequence[Need], allowed: Allowed) -> Iterator[Filling]:
        loads = allowed.loads and any(need.kind == "release" for need in needs)
        for each in fillings(self.aim.standing, self.aim.hub, place, self.aim.offers):
            if each.kept or allowed.boards:
                yield each
                newer = loaded(self.aim.hub, each) if loads else None
                if newer is not None:
                    yield newer


def _mattering(seating: Seating, found: Iterable[Filling], needs: Sequence[Need]) -> Iterator[Filling]:
    """The ways without those that a better one can always stand in for.

    Those of one kind take the same work beside whatever else there is. Of these the cheapest come first,
    and one is left out where those before it that have no less of what is needed are enough: a single new
    board, which can be had as often as it is wanted, or as many boards from stock as the role has places.
    """
    kinds: dict[object, list[Filling]] = {}
    for each in found:
        kind = _kind(seating, each)
        if kind is not None:
            kinds.setdefault(kind, []).append(each)
    for alike in kinds.values():
        yield from _best(seating.aim, alike, needs) if len(alike) > 1 else alike


def _kind(seating: Seating, of: Filling) -> object | None:
    """What its work depends on; None for a board that fits nowhere. Whether a follower stays introduced is
    for the board beside it to say, so both are looked at."""
    if of.board is None:
        return of.kept
    known = seating.aim.offers.acquaintances(of.known_as)
    said = [seating.there(of, introduced=so) for so in sorted({of.board.introduced, False, bool(known)})]
    if not any(said):
        return None
    hub = seating.aim.hub
    board = of.board._replace(part=hub.stand_in(of.board.part))
    unread = of.serial is None and binds(hub, of)
    verdicts = tuple(each and each.verdict for each in said)
    return of.kept, board, verdicts, unread, of.loads, of.release, known


def _best(aim: Aim, alike: Sequence[Filling], needs: Sequence[Need]) -> Iterator[Filling]:
    places = _places(aim, alike[0].place.role)
    before: list[tuple[tuple[int, ...], Filling]] = []
    for each in sorted(alike, key=lambda filling: (filling.cost, filling.name)):
        has = tuple(worth(aim.hub, need, each) for need in needs)
        better = [other for had, other in before if all(map(int.__ge__, had, has))]
        if len(better) < places and all(other.serial for other in better):
            before.append((has, each))
            yield each


def _places(aim: Aim, role: RoleId) -> int:
    return sum(place.role == role for place in aim.hub.places)
