"""A board that is proposed for the place in which it sits asks for no more than the machine as it is."""

from __future__ import annotations

from service.domain.facts.question import Question, StatedBoard, StatedUnit
from service.domain.fit.answer import Answer
from service.domain.terms import Fit, Means
from tests.support.cases import answer
from tests.trade.shops import shop


def asked(question: Question) -> Answer:
    demo = shop("demo")
    return answer(demo.compiled, question, demo.records(question))


def test_it_takes_what_the_machine_takes_as_it_is() -> None:
    seen = dict.fromkeys(Fit, 0)
    for serial, unit in shop("demo").states.units.items():
        stated = StatedUnit(serial=serial)
        as_it_is = asked(Question(unit=stated, means=Means.BENCH))
        for place, board in unit.seating.occupants.items():
            proposed = StatedBoard(serial=board, role=place.role, place=place.name or None)
            found = asked(Question(unit=stated, boards=(proposed,), means=Means.BENCH))
            seen[found.fit] += 1
            if found.fit is Fit.NO:
                continue
            assert (found.fit, found.programming) == (as_it_is.fit, as_it_is.programming), (serial, board)
            assert [each.step for each in found.steps] == [each.step for each in as_it_is.steps], (
                serial,
                board,
            )
            assert "sits_there_already" in {each.reason.code for each in found.notes}
    assert seen[Fit.YES] > 70, seen
    assert seen[Fit.NO], seen
