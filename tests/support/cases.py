"""Questions put to a catalogue and, where there are any, to records."""

from __future__ import annotations

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case
from service.domain.facts.gathering import NO_RECORDS, case_from
from service.domain.facts.question import Question
from service.domain.facts.records import Records
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer, answer_from


def case_of(compiled: CompiledCatalogue, question: Question) -> Case:
    """The case of a question where nothing is recorded."""
    return case_from(Sources(compiled=compiled, records=NO_RECORDS, looked_up=True), question)


def answer(
    compiled: CompiledCatalogue, question: Question, records: Records = NO_RECORDS, *, looked_up: bool = True
) -> Answer:
    """The answer to a question of fit."""
    return answer_from(Sources(compiled=compiled, records=records, looked_up=looked_up), question)
