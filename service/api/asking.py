"""From what was sent and passed its schema to the question that is put."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.api.schemas.closed import Assume, Questions
from service.domain.facts.question import NOTHING_STATED, Question, StatedBoard, StatedUnit, Statement

Sent = Mapping[str, Any]


def question(sent: Sent) -> Question:
    """The question of a document that passed `FitQuestion`."""
    return Question(
        unit=stated_unit(sent.get("unit", {})),
        boards=tuple(map(stated_board, sent.get("boards", ()))),
        assume=sent["assume"] is Assume.USUAL,
        means=sent["means"],
        every_question=sent["questions"] is Questions.ALL,
        as_of=sent.get("as_of"),
    )


def flat_question(sent: Sent) -> Question:
    """The question of one line that passed `FitQuery`."""
    claimed = {name: sent[name] for name in ("part", "binding", "bound_model") if name in sent}
    board = StatedBoard(
        serial=sent.get("board"), role=sent.get("role"), place=sent.get("place"), claimed=_statement(claimed)
    )
    unit = StatedUnit(
        serial=sent.get("unit"),
        model=sent.get("model"),
        market=sent.get("market"),
        made_on=sent.get("made_on"),
    )
    return Question(
        unit=unit,
        boards=(board,),
        assume=sent["assume"] is Assume.USUAL,
        means=sent["means"],
        as_of=sent.get("as_of"),
    )


def stated_unit(sent: Sent) -> StatedUnit:
    """The unit of a document that passed `UnitStatement`."""
    report = sent.get("read", {})
    return StatedUnit(
        serial=sent.get("serial"),
        model=sent.get("model"),
        papers_model=sent.get("papers_model"),
        read_model=report.get("model"),
        read_serial=report.get("serial"),
        market=sent.get("market"),
        made_on=sent.get("made_on"),
        boards=tuple(map(stated_board, sent.get("boards", ()))),
        accessories=tuple(sent["accessories"].items()) if "accessories" in sent else (),
    )


def stated_board(sent: Sent) -> StatedBoard:
    """A board of a document that passed one of the schemas of a board."""
    claimed = dict(sent.get("claimed", ()))
    for name in ("part", "introduced"):
        if name in sent:
            claimed[name] = sent[name]
    return StatedBoard(
        serial=sent.get("serial"),
        role=sent.get("role"),
        place=sent.get("place"),
        empty=sent.get("empty", False),
        claimed=_statement(claimed),
        read=_statement(sent.get("read", {})),
    )


def _statement(sent: Sent) -> Statement:
    """A model that is named alone says bound."""
    if not sent:
        return NOTHING_STATED
    stated: dict[str, Any] = {}
    for name, value in sent.items():
        # Members of closed sets go on as their plain text, as the domain has them.
        stated[name] = str(value) if isinstance(value, str) else value
    if "bound_model" in stated:
        stated.setdefault("binding", "bound")
    return Statement(**stated)
