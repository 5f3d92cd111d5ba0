"""Questions put to a catalogue alone."""

from __future__ import annotations

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case
from service.domain.facts.gathering import NO_RECORDS, case_from
from service.domain.facts.question import Question
from service.domain.facts.sources import Sources


def case_of(compiled: CompiledCatalogue, question: Question) -> Case:
    """The case of a question where nothing is recorded."""
    return case_from(Sources(compiled=compiled, records=NO_RECORDS, looked_up=True), question)
