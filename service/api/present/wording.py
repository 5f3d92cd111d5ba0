"""The sentences of an answer, in one language and about one catalogue."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from service.domain.capability.comparing import Hindrance
from service.domain.catalogue.model import Catalogue
from service.domain.cautions import Caution
from service.domain.facts.case import Case
from service.domain.facts.records import BoardRecord
from service.domain.fit.answer import Answer
from service.domain.fit.asking import Ask
from service.domain.fit.conclusion import GroundedReason
from service.domain.fit.grounds import notes
from service.domain.fit.mending import Advice
from service.domain.fit.refusing import Look
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep
from service.domain.terms import ModelId, PartNumber
from service.words.abilities import blocker_phrase
from service.words.caution_texts import CAUTIONS
from service.words.fit_text import fit_text
from service.words.names import Names, named
from service.words.questions import case_line, how_sentence, question_about, question_sentence
from service.words.reason_texts import REASONS
from service.words.reasons import reason_sentence
from service.words.refusing import cause_sentence, look_sentence, mend_sentence
from service.words.steps import step_sentence
from service.words.stock import destinations_summary, no_candidate_sentence
from service.words.summary import own_boards, summary


@dataclass(frozen=True, slots=True, eq=False)
class Wording:
    """One method for each kind of thing that has a sentence."""

    names: Names

    def summary(self, answer: Answer) -> str:
        return summary(answer, self.names)

    def reason(self, reason: GroundedReason) -> str:
        return reason_sentence(reason.reason, self.names)

    def out_of_service(self) -> str:
        return self.names.language.say(REASONS["unit_out_of_service"])

    def own_boards(self, case: Case) -> list[str]:
        return list(own_boards((reason for reason, _ in notes(case)), self.names))

    def step(self, step: PlannedStep) -> str:
        return step_sentence(step, self.names)

    def blocker(self, blocker: Hindrance) -> str:
        return blocker_phrase(blocker, self.names)

    def case(self, when: Mapping[str, Sequence[str]]) -> str:
        return case_line(when, self.names)

    def question_of(self, fact: str) -> str:
        return question_about(fact, self.names)

    def caution(self, caution: Caution) -> str:
        return self.names.language.say(CAUTIONS[caution.code])

    def question(self, ask: Ask) -> str:
        return question_sentence(ask, self.names)

    def how(self, ask: Ask, proposed: Sequence[Place]) -> str:
        return how_sentence(ask, proposed, self.names)

    def cause(self, advice: Advice) -> str:
        return cause_sentence(advice, self.names)

    def look(self, look: Look) -> str:
        return look_sentence(look, self.names)

    def mend(self, advice: Advice) -> str:
        return mend_sentence(advice, self.names)

    def destinations(
        self, record: BoardRecord | None, parts: Sequence[PartNumber], models: Mapping[ModelId, Answer]
    ) -> str:
        return destinations_summary(record, parts, models, self.names)

    def no_candidate(self, why: Answer | None) -> str:
        return no_candidate_sentence(why, self.names)

    def whole(self, answer: Answer) -> str:
        """The answer for a person at a terminal."""
        return fit_text(answer, self.names)


@lru_cache(maxsize=64)
def wording(catalogue: Catalogue, code: str) -> Wording:
    """The sentences in the language of that code."""
    return Wording(named(catalogue, code))
