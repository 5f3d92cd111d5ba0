"""Rules 5 and 6: a board that was bound serves its model only, and the boards that bind agree."""

from __future__ import annotations

from collections.abc import Sequence

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Rule


def bound_elsewhere(hub: Hub, board: Board) -> bool:
    """Whether the board is bound, permanently, to another model than the unit's."""
    return board.binding is not None and board.binding != hub.model.id


def is_not_bound_to_another(hub: Hub, board: Board) -> Finding | None:
    """Rule 5, for a proposed board: blank, or bound to the unit's model."""
    if not bound_elsewhere(hub, board):
        return None
    return _mismatch("bound_to_other_model", Rule.BOUND, hub, board)


def agrees_with_unit(hub: Hub, board: Board) -> Finding | None:
    """Rule 6, for a board that stays: it names or follows the unit's own model."""
    if not bound_elsewhere(hub, board):
        return None
    return _mismatch("unit_already_disagrees", Rule.AGREE, hub, board)


def among_themselves(hub: Hub, boards: Sequence[Board]) -> list[Finding]:
    """Rule 6, told for the set: the unit refuses to run, or would start as another machine.

    This adds words, never an outcome: it finds nothing unless a board is bound elsewhere, and then
    rule 5 or 6 has failed for that board already.
    """
    strangers = [board for board in boards if bound_elsewhere(hub, board)]
    if not strangers:
        return []
    models = {board.binding for board in boards if board.binding is not None}
    if len(models) == 1 and len(boards) > 1 and all(board.binding is not None for board in boards):
        return [_mismatch("starts_as_another_machine", Rule.AGREE, hub, board) for board in boards]
    if len(models) > 1:
        return [
            _mismatch("boards_disagree", Rule.AGREE, hub, board)
            for board in boards
            if board.binding == hub.model.id
        ]
    return []


def _mismatch(code: str, rule: Rule, hub: Hub, board: Board) -> Finding:
    facts = (("bound_model", str(board.binding)), ("unit_model", hub.model.id))
    return finding(code, rule, board.place, "binding", *facts)
