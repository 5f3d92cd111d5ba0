"""Why programming is needed: the needs of a board that fits, as reasons."""

from __future__ import annotations

from collections.abc import Iterable

from service.domain.catalogue.hub import Hub
from service.domain.rules.board import Board
from service.domain.rules.finding import Finding, finding
from service.domain.terms import Rule, StepKind

CODES = {
    StepKind.ENTER_SERIAL: "serial_must_be_entered",
    StepKind.ASSIGN: "must_be_assigned",
    StepKind.INTRODUCE: "must_be_introduced",
    StepKind.CALIBRATE: "must_be_calibrated",
    StepKind.ACTIVATE: "must_be_activated",
}


def need_findings(hub: Hub, board: Board, needs: Iterable[StepKind]) -> list[Finding]:
    """One finding for each step that a board needs; a step that binds it for the first time says so."""
    return [_need(hub, board, kind) for kind in needs]


def _need(hub: Hub, board: Board, kind: StepKind) -> Finding:
    code = CODES.get(kind, "needs_a_step")
    if kind is StepKind.ENTER_SERIAL and board.binding is None:
        code = "takes_model_permanently"
    facts = (("step", str(kind)), ("unit_model", hub.model.id))
    return finding(code, Rule.ASSIGNABLE, board.place, "binding", *facts)
