"""Rule 8: one serial, one machine."""

from __future__ import annotations

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import BindingPolicy, Holds, Rule


def holds_no_serial_in_service(hub: Hub, board: Board) -> Finding | None:
    """Rule 8, for a proposed naming board: it does not hold the serial of a unit in service elsewhere,
    unless the family lets another serial be entered."""
    if board.holds is not Holds.IN_SERVICE or hub.family.another_serial_allowed:
        return None
    if hub.parts[board.part].binding is not BindingPolicy.NAMES:
        return None
    return finding("serial_in_service_elsewhere", Rule.ONE_SERIAL, board.place, "holds")
