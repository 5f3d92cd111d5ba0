"""Can these boards go into that unit? One question, or many from one gather and one catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from service.domain.facts.question import ImpossibleQuestion, Question
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer, answer_from
from service.usecases.caller import Caller, View, means_of
from service.usecases.gathering import sources_of
from service.usecases.shop import Shop


def check(shop: Shop, caller: Caller, question: Question) -> Answer:
    """The answer to one question. Raises ImpossibleQuestion for one that cannot be put, NoCatalogue
    where nothing is (or was then) published."""
    (found,) = _check_at(shop, caller, [question], question.as_of)
    if isinstance(found, ImpossibleQuestion):
        raise found
    return found


def check_beside(shop: Shop, caller: Caller, question: Question) -> tuple[Answer, Answer]:
    """The answer to a question, and that about the same unit as it is, from one gather and one catalogue.

    Raises as `check` does.
    """
    found = check_many(shop, caller, [question, question._replace(boards=())])
    fault = next((each for each in found if isinstance(each, ImpossibleQuestion)), None)
    if fault is not None:
        raise fault
    answer, as_it_is = (each for each in found if isinstance(each, Answer))
    return answer, as_it_is


def check_many(
    shop: Shop, caller: Caller, questions: Sequence[Question]
) -> list[Answer | ImpossibleQuestion]:
    """Answers in the order of the questions. Questions of one moment are answered from one gather and
    one catalogue; one that cannot be put is its own item's fault."""
    moments = {question.as_of for question in questions}
    if len(moments) == 1:
        return _check_at(shop, caller, questions, moments.pop())
    answers: dict[int, Answer | ImpossibleQuestion] = {}
    for as_of in dict.fromkeys(question.as_of for question in questions):
        places = [place for place, question in enumerate(questions) if question.as_of == as_of]
        together = _check_at(shop, caller, [questions[place] for place in places], as_of)
        answers |= dict(zip(places, together, strict=True))
    return [answers[place] for place in range(len(questions))]


def _check_at(
    shop: Shop, caller: Caller, questions: Sequence[Question], as_of: datetime | None
) -> list[Answer | ImpossibleQuestion]:
    if as_of is not None and as_of > shop.now():
        fault = ImpossibleQuestion("as_of_in_future", "/as_of")
        return [fault] * len(questions)
    compiled = shop.catalogue_at(as_of)
    sources = sources_of(shop, caller, compiled, questions, as_of)
    if caller.view is View.PUBLIC:
        questions = [each._replace(means=means_of(caller, each.means)) for each in questions]
    return [_answer(sources, question) for question in questions]


def _answer(sources: Sources, question: Question) -> Answer | ImpossibleQuestion:
    try:
        return answer_from(sources, question)
    except ImpossibleQuestion as fault:
        return fault
