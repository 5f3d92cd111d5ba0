"""A batch: each item read by the question's own schema, all answered together, faults kept in place."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any, NamedTuple

from marshmallow import ValidationError

from service.api.asking import question
from service.api.edge.arguments import walk
from service.api.present.answer import answer as shown
from service.api.present.wording import Wording, wording
from service.api.problems import Problem, in_body
from service.api.problems.impossible import impossible
from service.api.problems.problem import invalid
from service.api.schemas.question import FitQuestion
from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import ImpossibleQuestion, Question
from service.domain.fit.answer import Answer
from service.usecases.caller import Caller
from service.usecases.fit import check_many
from service.usecases.shop import NoCatalogue, Shop


class Answered(NamedTuple):
    """A question that was answered."""

    question: Question
    answer: Answer
    wording: Wording

    def as_json(self) -> dict[str, Any]:
        return {"answer": shown(self.answer, self.wording, self.question.as_of)}

    def as_text(self) -> str:
        return self.wording.whole(self.answer)


@dataclass(frozen=True, slots=True)
class Faulty:
    """A question that has faults, which are its own."""

    problem: Problem

    def as_json(self) -> dict[str, Any]:
        return {"problem": self.problem.as_json()}

    def as_text(self) -> str:
        return f"{self.problem.detail}\n"


def catalogue_of(shop: Shop, asked: Question) -> CompiledCatalogue:
    """The catalogue that a question is answered from.

    Raises NoCatalogue where there is none at all, ImpossibleQuestion where there was none yet then or
    where it has no such accessory.
    """
    try:
        compiled = shop.catalogue_at(asked.as_of)
    except NoCatalogue:
        if asked.as_of is None:
            raise
        raise ImpossibleQuestion("nothing_published_then", "/as_of") from None
    for name, _ in asked.unit.accessories:
        if name not in compiled.catalogue.accessories:
            pointer = f"/unit/accessories/{name.replace('~', '~0').replace('/', '~1')}"
            raise ImpossibleQuestion("unknown_accessory", pointer, accessory=name)
    return compiled


def read_items(shop: Shop, sent: Sequence[Mapping[str, Any]]) -> list[Question | Problem]:
    """Each item as a question, or as the problem of what is wrong with it."""
    schema = FitQuestion()
    return [_read(shop, schema, item) for item in sent]


def answered(shop: Shop, caller: Caller, items: Sequence[Question | Problem]) -> list[Answered | Faulty]:
    """One entry for each item, in order; the questions among them are answered together."""
    found = iter(check_many(shop, caller, [item for item in items if isinstance(item, Question)]))
    # The catalogue of now is the same for all; only a question about the past has another one.
    words = _words(shop, caller)
    return [
        Faulty(item) if isinstance(item, Problem) else _entry(shop, item, next(found), words)
        for item in items
    ]


def _read(shop: Shop, schema: FitQuestion, sent: Mapping[str, Any]) -> Question | Problem:
    try:
        asked = question(schema.load(sent))
        catalogue_of(shop, asked)
    except ValidationError as error:
        return invalid([in_body(path, detail) for path, detail in walk(error.messages)])
    except ImpossibleQuestion as fault:
        return impossible(fault, shop.catalogue())
    return asked


def _words(shop: Shop, caller: Caller) -> Callable[[datetime | None], Wording]:
    return cache(lambda as_of: wording(shop.catalogue_at(as_of).catalogue, caller.language))


def _entry(
    shop: Shop,
    asked: Question,
    found: Answer | ImpossibleQuestion,
    words: Callable[[datetime | None], Wording],
) -> Answered | Faulty:
    if isinstance(found, ImpossibleQuestion):
        return Faulty(impossible(found, catalogue_of(shop, asked)))
    return Answered(asked, found, words(asked.as_of))
