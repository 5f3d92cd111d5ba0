"""What the rules and the planner see of the places of a block: the boards as they would stand there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.fit.domains import comes_introduced
from service.domain.place import Place
from service.domain.rules import FITS_WITH_TOOL, OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.terms import Holds, PartNumber, StepKind
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.filling import Filling, binds

REMEMBERED = 2_048
"""So many boards and pieces of work are remembered, over all questions; a piece of work takes a few KB."""


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """One place, with everything on which its steps depend: places that are seated alike take the same work.
    Made by `seat` only, so that equal ones are one object.

    Its parts are the stand-ins of the real ones, since steps know parts by how they bind alone.
    """

    place: Place
    board: Board | None
    verdict: Verdict | None
    replaced: PartNumber | None
    """What comes out."""
    second_hand: bool
    """The board held another owner's data."""
    unread: bool
    """Nobody has read the board, and it is read before anything is bound."""
    loads: tuple[int, ...]
    """The releases that are loaded, by position."""


seat = lru_cache(maxsize=REMEMBERED)(Seat)


class There(NamedTuple):
    """A board with what the rules say of it."""

    board: Board
    verdict: Verdict


class Seating:
    """The boards of one aim as they would stand there. What concerns one place alone is worked out once."""

    def __init__(self, aim: Aim) -> None:
        """Take what the plan is for."""
        self.aim = aim
        self._there: dict[tuple[Place, str, bool], There | None] = {}
        self._seats: dict[tuple[Place, str, bool, bool], Seat] = {}

    def seated(self, chosen: Sequence[Filling]) -> tuple[Seat, ...] | None:
        """The places of a block so filled; None where one of the boards does not fit."""
        naming = self.naming(chosen)
        introduced = [self.introduced(each, naming) for each in chosen]
        there = [self.there(each, introduced=so) for each, so in zip(chosen, introduced, strict=True)]
        if any(found is None and each.board is not None for found, each in zip(there, chosen, strict=True)):
            return None
        assigns = any(found is not None and StepKind.ASSIGN in found.verdict.needs for found in there)
        return tuple([self._seat(of, so, assigns) for of, so in zip(chosen, introduced, strict=True)])

    def naming(self, chosen: Sequence[Filling]) -> Filling | None:
        """Which of them names the model."""
        role = self.aim.hub.naming_role
        return next((each for each in chosen if each.place.role == role), None)

    def introduced(self, filling: Filling, naming: Filling | None) -> bool:
        """Whether a board is introduced to the one beside it that names the model: as it is where nothing
        changed; else as the two came, for they may know each other from elsewhere."""
        if filling.board is None:
            return False
        if naming is None or filling.place == naming.place or (naming.kept and filling.kept):
            return filling.board.introduced
        pairing = self.aim.offers.pairs.get((filling.known_as, naming.known_as))
        return pairing is not None and comes_introduced(self.aim.hub, pairing)

    def there(self, filling: Filling, *, introduced: bool) -> There | None:
        """A board as it would stand there; None where it does not fit, and where there is none."""
        key = filling.place, filling.name, introduced
        if key not in self._there:
            self._there[key] = self._judged(filling, introduced)
        return self._there[key]

    def _judged(self, filling: Filling, introduced: bool) -> There | None:
        if filling.board is None:
            return None
        board = filling.board._replace(introduced=introduced)
        said = judged(self.aim.hub, board, another_model=self.aim.another_model)
        return None if said is None else There(board, said)

    def _seat(self, of: Filling, introduced: bool, assigns: bool) -> Seat:
        key = of.place, of.name, introduced, assigns
        if key not in self._seats:
            found = self.there(of, introduced=introduced)
            self._seats[key] = _seat(self.aim, of, found, assigns=assigns)
        return self._seats[key]


@lru_cache(maxsize=REMEMBERED)
def judged(hub: Hub, board: Board, *, another_model: bool) -> Verdict | None:
    """What the rules say of a board; None where it does not fit.

    A machine that becomes another model carries the serial issued for it, never one of another machine: it
    is entered into the naming board, whatever that one holds.
    """
    said = verdict(hub, board)
    if said.rank <= OUT_OF_SCOPE:
        return None
    entered = StepKind.ENTER_SERIAL in said.needs or board.place.role != hub.naming_role
    if not another_model or entered:
        return said
    if board.holds is Holds.IN_SERVICE and not hub.family.another_serial_allowed:
        return None
    rank = FITS_WITH_TOOL if StepKind.ENTER_SERIAL in hub.tool_steps else said.rank
    return said._replace(rank=rank, needs=(StepKind.ENTER_SERIAL, *said.needs))


def _seat(aim: Aim, of: Filling, found: There | None, *, assigns: bool) -> Seat:
    hub = aim.hub
    sits = None if of.kept else aim.standing.boards.get(of.place)
    return seat(
        of.place,
        found and found.board._replace(part=hub.stand_in(found.board.part)),
        found and found.verdict,
        sits and hub.stand_in(sits.part),
        found is not None and _second_hand(found.board),
        _unread(aim, of, assigns=assigns),
        of.loads,
    )


def _second_hand(board: Board) -> bool:
    return board.binding is not None and board.holds in (Holds.IDLE, Holds.IN_SERVICE)


def _unread(aim: Aim, of: Filling, *, assigns: bool) -> bool:
    """A new board is read as soon as it can be: "new in its box" is a claim. So is a naming board that stays,
    where it gives a follower its model and nobody has read it."""
    if of.bought is not None:
        return of.serial is None and binds(aim.hub, of)
    names = of.place.role == aim.hub.naming_role and of.board is not None and of.board.binding
    return bool(of.kept and names and assigns and of.place not in aim.standing.read)
