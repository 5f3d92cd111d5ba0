"""Questions that share their sources are answered as if each were asked alone."""

from __future__ import annotations

import random
from collections.abc import Iterator

from service.domain.facts.gathering import case_from
from service.domain.facts.question import (
    NOTHING_STATED,
    ImpossibleQuestion,
    Question,
    StatedBoard,
    StatedUnit,
    Statement,
)
from service.domain.facts.sources import Sources
from service.domain.ledger.records import gathered
from service.domain.terms import RoleId
from tests.trade.shops import shop

QUESTIONS = 600
DEMO = shop("demo")
BOARDS, UNITS = sorted(DEMO.states.boards), sorted(DEMO.states.units)
RECORDS = gathered(DEMO.states, BOARDS, UNITS, len(DEMO.drafts))
CLAIMS = (NOTHING_STATED, NOTHING_STATED, Statement(condition="failed"), Statement(holds=UNITS[3]))


def questions() -> Iterator[Question]:
    """About few units and many boards, those that sit in these very units among them."""
    chosen = random.Random(7)
    units = UNITS[:12]
    inside = [str(board) for board, state in DEMO.states.boards.items() if state.record.in_unit in units]
    for _ in range(QUESTIONS):
        named = chosen.sample([*chosen.sample(BOARDS, 8), *inside], chosen.choice((1, 1, 1, 2)))
        boards = tuple(StatedBoard(serial=each, claimed=chosen.choice(CLAIMS)) for each in named)
        sits = (StatedBoard(role=RoleId("panel"), serial=chosen.choice(inside)),)
        unit = StatedUnit(serial=chosen.choice([*units, None]), boards=chosen.choice(((), (), sits)))
        yield Question(unit=unit, boards=boards, assume=chosen.random() < 0.8)


def told(sources: Sources, question: Question) -> object:
    """The case, or why there is none. Equal facts are one object."""
    try:
        return case_from(sources, question)
    except ImpossibleQuestion as fault:
        return fault.code, fault.pointer, fault.facts


def test_questions_that_are_asked_together_are_answered_alike() -> None:
    together = Sources(compiled=DEMO.compiled, records=RECORDS, looked_up=True)
    asked = list(questions())
    assert [told(together, each) for each in asked] == [
        told(Sources(compiled=DEMO.compiled, records=RECORDS, looked_up=True), each) for each in asked
    ]
    assert len(together.hosts) < QUESTIONS / 2
