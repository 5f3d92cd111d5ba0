"""A batch: each item read by the question's own schema, all answered together, faults kept in place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from marshmallow import ValidationError

from service.api.asking import question
from service.api.edge.parser import walk
from service.api.present.answer import answer as shown
from service.api.present.wording import wording
from service.api.problems import Problem, in_body
from service.api.problems.impossible import impossible
from service.api.problems.problem import invalid
from service.api.schemas.question import FitQuestion
from service.domain.facts.question import ImpossibleQuestion, Question
from service.domain.fit.answer import Answer
from service.usecases.caller import Caller
from service.usecases.fit import check_many
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True)
class Answered:
    """A question that was answered."""

    shop: Shop
    caller: Caller
    question: Question
    answer: Answer

    def as_json(self) -> dict[str, Any]:
        catalogue = self.shop.catalogue_at(self.question.as_of).catalogue
        words = wording(catalogue, self.caller.language)
        return {"answer": shown(catalogue, self.answer, words, self.question.as_of)}

    def as_text(self) -> str:
        catalogue = self.shop.catalogue_at(self.question.as_of).catalogue
        return wording(catalogue, self.caller.language).whole(self.answer)


@dataclass(frozen=True, slots=True)
class Faulty:
    """A question that has faults, which are its own."""

    problem: Problem

    def as_json(self) -> dict[str, Any]:
        return {"problem": self.problem.as_json()}

    def as_text(self) -> str:
        return f"{self.problem.detail}\n"


def read_items(sent: Sequence[Mapping[str, Any]]) -> list[Question | Problem]:
    """Each item as a question, or as the problem of what is wrong with it."""
    schema = FitQuestion()
    return [_read(schema, item) for item in sent]


def answered(shop: Shop, caller: Caller, items: Sequence[Question | Problem]) -> list[Answered | Faulty]:
    """One entry for each item, in order; the questions among them are answered together."""
    found = iter(check_many(shop, caller, [item for item in items if isinstance(item, Question)]))
    return [
        Faulty(item) if isinstance(item, Problem) else _entry(shop, caller, item, next(found))
        for item in items
    ]


def _read(schema: FitQuestion, sent: Mapping[str, Any]) -> Question | Problem:
    try:
        return question(schema.load(sent))
    except ValidationError as error:
        return invalid([in_body(path, detail) for path, detail in walk(error.messages)])


def _entry(
    shop: Shop, caller: Caller, asked: Question, found: Answer | ImpossibleQuestion
) -> Answered | Faulty:
    if isinstance(found, ImpossibleQuestion):
        return Faulty(impossible(found, shop.catalogue_at(asked.as_of)))
    return Answered(shop, caller, asked, found)
