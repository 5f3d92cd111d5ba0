"""The machine's own boards that must not be used as they are.

Rule 9 judges what is proposed. Of the boards that stay it is told, and never decides whether another one
fits: a machine with a scrapped board takes a sound one all the same, and does not run as it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.facts.case import BoardCase, Case
from service.domain.place import Place
from service.domain.terms import Condition

TO_BE_CHANGED = frozenset({Condition.SCRAPPED, Condition.FAILED})
"""A board in one of these states comes out; one that was exposed may pass a test."""


def staying(case: Case) -> Iterator[BoardCase]:
    """The boards of which something is known and that stay."""
    changed = {board.place for board in case.proposed}
    return (board for place, board in case.present.items() if place not in changed)


def states(board: BoardCase) -> frozenset[str]:
    """The states that a board may be in; one that nobody speaks of is usable."""
    return board.facts.condition.values or frozenset({Condition.USABLE})


def surely_not_usable(case: Case) -> tuple[Place, ...]:
    """Places of own boards that are in no state in which they could be used."""
    return tuple(sorted(board.place for board in staying(case) if Condition.USABLE not in states(board)))


def perhaps_not_usable(case: Case) -> tuple[Place, ...]:
    """Places of own boards that are, or may be, in a state in which they must not be used."""
    return tuple(sorted(board.place for board in staying(case) if states(board) != {Condition.USABLE}))


def to_be_changed(case: Case) -> tuple[Place, ...]:
    """Places of own boards that no test brings back."""
    return tuple(sorted(board.place for board in staying(case) if states(board) <= TO_BE_CHANGED))
