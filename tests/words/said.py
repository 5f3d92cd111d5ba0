"""Everything that is said in a great many answers: those of the case files, and of generated questions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from random import Random

from service.domain.facts.question import ImpossibleQuestion
from service.domain.fit.answer import Answer
from service.words.abilities import blocker_phrase
from service.words.caution_texts import CAUTIONS
from service.words.fit_text import fit_text
from service.words.language import language
from service.words.names import Names
from service.words.questions import how_sentence, question_sentence
from service.words.reasons import reason_sentence, weighed_sentence
from service.words.steps import step_sentence
from service.words.summary import summary
from tests.laws.cases import catalogue
from tests.laws.engine import compiled
from tests.oracles.questions import Writer
from tests.oracles.twists import open_question
from tests.oracles.worlds import WorldMaker
from tests.steps.plans import answered as answered_by_engine
from tests.trade.case_files import answered, cases

SEEDS = range(300, 304)


@dataclass(frozen=True, slots=True)
class Heard:
    """An answer, with the names in which it is told."""

    name: str
    answer: Answer
    names: Names


@cache
def heard() -> tuple[Heard, ...]:
    return (*of_cases(), *of_generated_questions())


def of_cases() -> Iterator[Heard]:
    for case in cases():
        found = answered(case) if "question" in case.given else None
        if found is not None and not isinstance(found, ImpossibleQuestion):
            yield Heard(case.name, found, case.shop.names)


def of_generated_questions() -> Iterator[Heard]:
    """Questions with something open, half known or misread, over catalogues of all habits."""
    for seed in SEEDS:
        rng, document = Random(seed), catalogue(seed, small=True)
        maker, writer = WorldMaker(rng, document, ill=0.4), Writer(rng, document)
        names = Names(compiled(document).catalogue, language("en"))
        for at in range(60):
            asked, _ = open_question(rng, writer, maker.make())
            yield Heard(f"{seed}/{at}", answered_by_engine(asked), names)


def sentences(each: Heard) -> Iterator[str]:
    """All that stands by itself in an answer; the summary first."""
    answer, names = each.answer, each.names
    yield summary(answer, names)
    yield from (reason_sentence(grounded.reason, names) for grounded in answer.reasons)
    yield from (weighed_sentence(grounded.reason, names) for grounded in answer.reasons)
    yield from (step_sentence(planned, names) for planned in answer.conclusion.steps)
    yield from (names.language.say(CAUTIONS[caution.code]) for caution in answer.cautions)
    if answer.ask:
        yield question_sentence(answer.ask, names)
        yield how_sentence(answer.ask, answer.case.facts.loose, names)


def phrases(each: Heard) -> Iterator[str]:
    """What stands inside of a line: why a capability is not there."""
    compared = each.answer.capabilities
    for abilities in (compared.before, compared.after) if compared else ():
        for ability in abilities.values():
            yield from (blocker_phrase(blocker, each.names) for blocker in ability.blockers)


def whole(each: Heard) -> str:
    return fit_text(each.answer, each.names)
