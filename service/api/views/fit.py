"""The question of fit (Q3 to Q5): one line, one document, or many."""

from __future__ import annotations

from typing import Any

from service.api.asking import flat_question, question
from service.api.batch import Answered, answered, catalogue_of, read_items
from service.api.blueprint import Routes
from service.api.edge.reply import Reply
from service.api.present.answer import answer as shown
from service.api.present.wording import wording
from service.api.problems.impossible import impossible
from service.api.schemas.answer import FitAnswer, FitAnswers
from service.api.schemas.question import FitQuery, FitQuestion, FitQuestions
from service.api.seeing.metrics import FIT
from service.api.seeing.seen import seen
from service.domain.facts.question import ImpossibleQuestion, Question
from service.pictures.svg import drawn
from service.pictures.telling import fit_picture
from service.usecases import fit
from service.usecases.caller import Caller
from service.usecases.shop import Shop
from service.words.names import named

blp = Routes("fit", __name__, description="Can this board go into that machine, and what then?")


@blp.operation("/v1/fit", name="check_fit", answer=FitAnswer, query=FitQuery)
def check_one_line(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Tell whether this board can go into that unit: one board, in one line.

    Name the board by serial, or describe it (part, role, binding); name the unit by its plate serial,
    or by model only. What is not said is as recorded, else as `assume` says. For several boards,
    boards that sit in the unit, or readings, use POST /v1/fit-checks.
    """
    return _reply(shop, caller, flat_question(query), flat=True)


@blp.operation("/v1/fit/picture", name="draw_fit", answer=None, query=FitQuery)
def draw_one_line(shop: Shop, caller: Caller, query: dict[str, Any]) -> Reply:
    """Draw what this board would change in that unit: the boards before and after, side by side.

    The same question as GET /v1/fit, and nothing else than its answer shows. In black and white as good as in
    colour; its description says all of it in sentences. With `means=customer` it can be handed to one.
    """
    asked = flat_question(query)
    try:
        catalogue = catalogue_of(shop, asked).catalogue
        found, as_it_is = fit.check_beside(shop, caller, asked)
    except ImpossibleQuestion as fault:
        raise impossible(fault, shop.catalogue(), flat=True) from None
    names = named(catalogue, caller.language)
    return Reply.of_picture(drawn(fit_picture(found, as_it_is, names, asked.as_of)))


@blp.operation("/v1/fit-checks", name="check_fit_of_set", answer=FitAnswer, body=FitQuestion)
def check_document(shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any]) -> Reply:
    """Tell whether these boards can go into that unit: any set, with claims and readings.

    Nothing is stored. The answer is for the resulting set: what is not proposed stays.
    """
    return _reply(shop, caller, question(body), flat=False)


@blp.operation("/v1/fit-checks/batch", name="check_fit_batch", answer=FitAnswers, body=FitQuestions)
def check_batch(shop: Shop, caller: Caller, query: dict[str, Any], body: dict[str, Any]) -> Reply:
    """Answer up to 1,000 questions in their order, from one catalogue revision.

    A question that has faults has its problem in its place; the others are answered.
    """
    entries = answered(shop, caller, read_items(shop, body["questions"]))
    told = [entry.answer for entry in entries if isinstance(entry, Answered)]
    seen().answered_many(FIT, told, len(entries) - len(told))
    revision = shop.catalogue().catalogue.revision
    data = {"answers": [entry.as_json() for entry in entries], "catalogue_revision": revision}
    return Reply.of_moment(data, lambda: "\n".join(entry.as_text() for entry in entries))


def _reply(shop: Shop, caller: Caller, asked: Question, *, flat: bool) -> Reply:
    try:
        catalogue = catalogue_of(shop, asked).catalogue
        found = fit.check(shop, caller, asked)
    except ImpossibleQuestion as fault:
        raise impossible(fault, shop.catalogue(), flat=flat) from None
    words = wording(catalogue, caller.language)
    seen().answered(FIT, found.outcome, found.cause, found.ask.fact if found.ask else None)
    data = shown(found, words, asked.as_of)
    reply = Reply.of_content if flat else Reply.of_moment
    return reply(data, lambda: words.whole(found))
