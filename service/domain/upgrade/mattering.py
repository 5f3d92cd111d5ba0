"""Of the ways to fill a place, those that can matter: none is alike in its work and better in the rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from service.domain.terms import RoleId
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.filling import Filling, binds
from service.domain.upgrade.seats import judged
from service.domain.upgrade.wanted import Need, worth


def mattering(aim: Aim, found: Iterable[Filling], needs: Sequence[Need]) -> Iterator[Filling]:
    """The fillings of one place without those that a better one can always stand in for.

    Fillings of one kind take the same work beside whatever else there is. Of these the cheapest come first,
    and one is left out where those before it that have no less of what is needed are enough: a single new
    board, which can be had as often as it is wanted, or as many boards from stock as the role has places.
    """
    kinds: dict[object, list[Filling]] = {}
    for each in found:
        kind = _kind(aim, each)
        if kind is not None:
            kinds.setdefault(kind, []).append(each)
    for alike in kinds.values():
        yield from _best(aim, alike, needs) if len(alike) > 1 else alike


def price_of(filling: Filling) -> Fraction:
    """Of the board and of what goes with its swap; nothing where none is bought."""
    if filling.bought is None:
        return Fraction(0)
    companions = sum((Fraction(each.price) for each in filling.bought.companions if each.price), Fraction(0))
    return Fraction(filling.price or 0) + companions


def _kind(aim: Aim, of: Filling) -> object | None:
    """What its work depends on; None for a board that fits nowhere. Whether a follower stays introduced is
    for the board beside it to say, so both are looked at."""
    if of.board is None:
        return of.kept
    said = [
        judged(aim.hub, of.board._replace(introduced=each), another_model=aim.another_model)
        for each in (of.board.introduced, False)
    ]
    if said == [None, None]:
        return None
    board = of.board._replace(part=aim.hub.stand_in(of.board.part))
    unread = of.serial is None and binds(aim.hub, of)
    return of.kept, board, *said, unread, of.loads, of.release


def _best(aim: Aim, alike: Sequence[Filling], needs: Sequence[Need]) -> Iterator[Filling]:
    places = _places(aim, alike[0].place.role)
    before: list[tuple[tuple[int, ...], Filling]] = []
    for each in sorted(alike, key=lambda filling: (price_of(filling), filling.name)):
        has = tuple(worth(aim.hub, need, each) for need in needs)
        better = [other for had, other in before if all(map(int.__ge__, had, has))]
        if len(better) < places and all(other.serial for other in better):
            before.append((has, each))
            yield each


def _places(aim: Aim, role: RoleId) -> int:
    return sum(place.role == role for place in aim.hub.places)
