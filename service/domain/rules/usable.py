"""Rule 9: the board is usable."""

from __future__ import annotations

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Condition, Rule

CODES = {
    Condition.SCRAPPED: "board_scrapped",
    Condition.FAILED: "board_failed_test",
    Condition.EXPOSED: "exposed_since_test",
}


def is_usable(_hub: Hub, board: Board) -> Finding | None:
    """Rule 9, for a proposed board: not scrapped, not failed on test, and tested since it was last
    exposed to water, lightning or fire."""
    if board.condition is Condition.USABLE:
        return None
    return finding(CODES[board.condition], Rule.USABLE, board.place, "condition")
