"""What the rules and the planner see of the places of a block: the boards as they would stand there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from service.domain.catalogue.hub import Hub
from service.domain.place import Place
from service.domain.rules import FITS_WITH_TOOL, OUT_OF_SCOPE, Verdict, verdict
from service.domain.rules.board import Board
from service.domain.terms import Holds, PartNumber, StepKind
from service.domain.upgrade.aim import Aim
from service.domain.upgrade.filling import Filling, binds

REMEMBERED = 16_384
"""So many boards and pieces of work are remembered, over all questions."""


class Seat(NamedTuple):
    """One place, with everything on which its steps depend: places that are seated alike take the same work.

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


def seated(aim: Aim, chosen: Sequence[Filling]) -> tuple[Seat, ...] | None:
    """The places of a block so filled; None where one of the boards does not fit."""
    judged = _judged_all(aim, chosen)
    if judged is None:
        return None
    assigns = any(StepKind.ASSIGN in said.needs for _, said in judged.values())
    return tuple(_seat(aim, each, judged.get(each.place), assigns=assigns) for each in chosen)


def boards_there(aim: Aim, chosen: Sequence[Filling]) -> Mapping[Place, Board]:
    """The boards as they would stand there: a follower stays introduced only where nothing changed."""
    naming = next((each for each in chosen if each.place.role == aim.hub.naming_role), None)
    return {each.place: _beside(each.board, naming) for each in chosen if each.board is not None}


def _beside(board: Board, naming: Filling | None) -> Board:
    return board._replace(introduced=False) if naming is not None and not naming.kept else board


def _judged_all(aim: Aim, chosen: Sequence[Filling]) -> dict[Place, tuple[Board, Verdict]] | None:
    found = {}
    for place, board in boards_there(aim, chosen).items():
        said = judged(aim.hub, board, another_model=aim.another_model)
        if said is None:
            return None
        found[place] = board, said
    return found


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
    rank = FITS_WITH_TOOL if StepKind.ENTER_SERIAL in hub.tool_steps else said.rank
    return said._replace(rank=rank, needs=(StepKind.ENTER_SERIAL, *said.needs))


def _seat(aim: Aim, of: Filling, found: tuple[Board, Verdict] | None, *, assigns: bool) -> Seat:
    hub = aim.hub
    board, said = found or (None, None)
    sits = None if of.kept else aim.standing.boards.get(of.place)
    return Seat(
        place=of.place,
        board=board and board._replace(part=hub.stand_in(board.part)),
        verdict=said,
        replaced=sits and hub.stand_in(sits.part),
        second_hand=board is not None and _second_hand(board),
        unread=_unread(aim, of, assigns=assigns),
        loads=of.loads,
    )


def _second_hand(board: Board) -> bool:
    return board.proposed and board.binding is not None and board.holds in (Holds.IDLE, Holds.IN_SERVICE)


def _unread(aim: Aim, of: Filling, *, assigns: bool) -> bool:
    """A new board is read as soon as it can be: "new in its box" is a claim. So is a naming board that stays,
    where it gives a follower its model and nobody has read it."""
    if of.bought is not None:
        return of.serial is None and binds(aim.hub, of)
    names = of.place.role == aim.hub.naming_role and of.board is not None and of.board.binding
    return bool(of.kept and names and assigns and of.place not in aim.standing.read)
