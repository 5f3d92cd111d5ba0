"""Grounds that no question of these catalogues brings about: the answer of fit is changed by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from service.domain.facts.question import StatedBoard, StatedUnit
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer
from service.domain.sale.check import Decision, SaleAnswer, decided
from service.domain.sale.judging import as_put
from service.domain.sale.question import SaleQuestion
from service.domain.sale.situation import Circumstances, Situation, situation
from service.domain.terms import Cause, Fit, Programming
from service.words.sale import customer_text, staff_text
from tests.trade.shops import shop

DEMO = shop("demo")


def a_situation() -> Situation:
    """A used main board for a machine of its model, out of warranty."""
    board, unit = (DEMO.serials[name] for name in ("USED_MAIN_40", "CUSTOMER_PLOVER_40"))
    question = SaleQuestion(board=StatedBoard(serial=board), unit=StatedUnit(serial=unit))
    records = DEMO.records(as_put(question))
    sources = Sources(compiled=DEMO.compiled, records=records, looked_up=True)
    return situation(sources, question, Circumstances(day=date(2026, 1, 5), was_out=True))


def with_known(found: Situation, **changes: object) -> Situation:
    """The same, with another answer of fit; nothing is claimed, so it is the answer with claims too."""
    judgement = found.judged[0]
    known = changed(judgement.known, **changes)
    return replace(found, judged=(replace(judgement, told=known, known=known),))


def changed(answer: Answer, **changes: object) -> Answer:
    axes = {name: changes.pop(name) for name in ("fit", "programming") if name in changes}
    decision = answer.conclusion.decision._replace(**axes)  # type: ignore[arg-type] # the two axes are enums
    conclusion = replace(answer.conclusion, decision=decision, **changes)  # type: ignore[arg-type] # as they are named
    return answer._replace(conclusion=conclusion)


def texts(answer: SaleAnswer) -> str:
    return f"{staff_text(answer, DEMO.names)} {customer_text(answer, DEMO.names)}"


def test_past_the_bound_of_a_question_the_model_is_asked_for() -> None:
    found = with_known(a_situation(), fit=Fit.UNKNOWN, cause=Cause.BOUND_EXCEEDED, ask=None)
    answer = decided(found)
    assert answer.decision is Decision.ASK_FIRST
    assert [each.code for each in answer.grounds] == ["too_much_open"]
    assert "Please tell us the model of your machine." in texts(answer)


def test_what_perhaps_has_to_be_programmed_is_said_and_not_charged() -> None:
    answer = decided(with_known(a_situation(), programming=Programming.UNKNOWN))
    assert answer.decision is Decision.SELL_WITH_CONDITIONS
    assert "programming_possible" in {each.code for each in answer.conditions}
    assert answer.quote is not None
    assert {str(line.charge.kind) for line in answer.quote.lines} == {"part", "companion"}
    assert "It may have to be programmed by a dealer before it runs." in texts(answer)
