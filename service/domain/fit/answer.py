"""The answer to a question of fit: everything that is true of it, as data. Words come later."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.capability.comparing import Comparison
from service.domain.cautions import Caution
from service.domain.facts.case import Case, CaseFacts
from service.domain.facts.gathering import case_from
from service.domain.facts.question import Question
from service.domain.facts.sources import Sources
from service.domain.fit.asking import Ask
from service.domain.fit.assumed import Assumed
from service.domain.fit.clearance import Clearances, clearances_of
from service.domain.fit.conclusion import Conclusion, GroundedReason, conclude
from service.domain.fit.grounds import notes
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep
from service.domain.terms import Basis, Cause, Fit, Means, Outcome, Programming


class Answer(NamedTuple):
    """One answer. Immutable; a function of the catalogue's revision, the facts and the question."""

    case: Case
    conclusion: Conclusion
    """What follows from the facts; shared by all answers with equal facts."""
    notes: tuple[GroundedReason, ...]
    """What concerns these very boards: witnesses in conflict, claims overruled, records to close."""
    clearance: Clearances
    revision: str

    @property
    def outcome(self) -> Outcome:
        return self.conclusion.decision.outcome

    @property
    def fit(self) -> Fit:
        return self.conclusion.decision.fit

    @property
    def programming(self) -> Programming:
        return self.conclusion.decision.programming

    @property
    def cause(self) -> Cause | None:
        return self.conclusion.cause

    @property
    def reasons(self) -> tuple[GroundedReason, ...]:
        """The reasons of the rules, the deciding ones first, then the notes."""
        return self.conclusion.reasons + self.notes

    @property
    def steps(self) -> tuple[PlannedStep, ...]:
        """The steps that are told."""
        return steps_told(self.conclusion, self.case.facts)

    @property
    def minutes(self) -> tuple[int, int] | None:
        return self.conclusion.minutes

    @property
    def capabilities(self) -> Comparison | None:
        return self.conclusion.capabilities

    @property
    def assumed(self) -> tuple[Assumed, ...]:
        return self.conclusion.assumed

    @property
    def ask(self) -> Ask | None:
        return self.conclusion.ask

    @property
    def would_fit_if(self) -> tuple[Place, ...]:
        return self.conclusion.would_fit_if

    @property
    def cautions(self) -> tuple[Caution, ...]:
        return self.conclusion.cautions

    @property
    def rests_on(self) -> Basis | None:
        return self.conclusion.rests_on


def steps_told(conclusion: Conclusion, facts: CaseFacts) -> tuple[PlannedStep, ...]:
    """The bench's steps. A customer is told who does it and how long it takes, and is given none."""
    return () if facts.means is Means.CUSTOMER else conclusion.steps


def answer_from(sources: Sources, question: Question) -> Answer:
    """Answer a question of fit from sources that several may share.

    Raises ImpossibleQuestion (`facts.question`) for one that cannot be put.
    """
    case = case_from(sources, question)
    return Answer(
        case=case,
        conclusion=conclude(case.facts),
        notes=tuple([GroundedReason(reason=note, basis=basis) for note, basis in notes(case)]),
        clearance=clearances_of(case, looked_up=sources.looked_up),
        revision=sources.compiled.catalogue.revision,
    )
