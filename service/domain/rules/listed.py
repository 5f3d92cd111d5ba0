"""Rules 3 and 4: the model has the role in this market, and the part is listed for it."""

from __future__ import annotations

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Rule


def has_role(hub: Hub, board: Board) -> Finding | None:
    """Rule 3, for a proposed board: the model has that role in the unit's market."""
    if board.place.role in hub.roles:
        return None
    code = "role_not_in_market" if board.place.role in hub.model.roles else "role_not_in_model"
    return finding(code, Rule.HAS_ROLE, board.place, "", ("unit_model", hub.model.id), ("market", hub.market))


def is_listed(hub: Hub, board: Board) -> Finding | None:
    """Rule 4, for a proposed board: listed for the model, break and market, itself or as a replacement."""
    if hub.lists(board.part):
        if hub.sells(board.part):
            return None
        code = "part_not_in_market"
    else:
        code = "outside_break" if board.part in hub.owner.reached else "part_not_listed"
    facts = (("part", board.part), ("unit_model", hub.model.id), ("market", hub.market))
    return finding(code, Rule.LISTED, board.place, "part", *facts)
