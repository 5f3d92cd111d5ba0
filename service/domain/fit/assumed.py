"""What an answer took for granted: untouched places are as the factory left them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from service.domain.facts.case import BoardFacts, CaseFacts
from service.domain.facts.records import BLANK
from service.domain.fit.worlds import Row
from service.domain.place import Place
from service.domain.terms import BindingPolicy


class Assumed(NamedTuple):
    """One assumption: a fact, the value it was given, and why (a code)."""

    fact: str
    value: str
    why: str


def assumed_of(facts: CaseFacts, rows: Sequence[Row]) -> Iterator[Assumed]:
    """Every assumption that the answer was made with, once, in the order of the places."""
    if not facts.assume:
        return
    found = dict.fromkeys(a for row in rows if row.hub.covered for a in _of_row(facts, row))
    yield from found


def _of_row(facts: CaseFacts, row: Row) -> Iterator[Assumed]:
    for place in row.places:
        board = facts.board_at(place)
        if board is None:
            yield _factory_board(row, place)
        elif not board.proposed and _is_second_hand(board) and _binds(row, place):
            yield Assumed(f"{place}.binding", "used", "withdrawn")
        elif board.assumed and board.binding.values is None and _binds(row, place):
            yield Assumed(f"{place}.binding", row.hub.model.id, "as_made")
        elif board.assumed and row.hub.model.id not in (board.binding.values or {row.hub.model.id}):
            yield Assumed(f"{place}.binding", _said(board.binding.values), "withdrawn")


def _is_second_hand(board: BoardFacts) -> bool:
    """Whether somebody says that it was programmed, and nobody for which model."""
    return board.binding.values is None and BLANK in board.binding.without and not board.assumed


def _factory_board(row: Row, place: Place) -> Assumed:
    if _binds(row, place):
        return Assumed(f"{place}.binding", row.hub.model.id, "as_made")
    parts = sorted({cell.board.part for cell in row.places[place].cells})
    return Assumed(f"{place}.part", " or ".join(parts), "as_made")


def _binds(row: Row, place: Place) -> bool:
    return any(row.hub.parts[c.board.part].binding is not BindingPolicy.FREE for c in row.places[place].cells)


def _said(values: frozenset[str] | None) -> str:
    return ", ".join(sorted(values or {BLANK}))
