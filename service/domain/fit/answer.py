"""The answer to a question of fit: everything that is true of it, as data. Words come later."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.capability.comparing import Comparison, compare
from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.cautions import Caution, cautions_for
from service.domain.facts.case import Case
from service.domain.facts.gathering import NO_RECORDS, gather_case
from service.domain.facts.question import Question
from service.domain.facts.records import Records
from service.domain.fit.asking import Ask, Asker
from service.domain.fit.assumed import Assumed, assumed_of
from service.domain.fit.cause import cause_of, contradicted, table_of
from service.domain.fit.clearance import Clearances, clearances_of
from service.domain.fit.decision import Decision, Reason, decide
from service.domain.fit.effort import effort
from service.domain.fit.grounds import basis_of, notes, rests_on
from service.domain.fit.remedies import would_fit_if
from service.domain.fit.worlds import BoundExceeded
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep, steps_of
from service.domain.terms import Basis, Cause, Fit, Outcome, Programming


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundedReason:
    """A reason with how well the fact under it is known."""

    reason: Reason
    basis: Basis | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer. Immutable; a function of the catalogue's revision, the facts and the question."""

    case: Case
    outcome: Outcome
    fit: Fit
    programming: Programming
    cause: Cause | None
    reasons: tuple[GroundedReason, ...]
    steps: tuple[PlannedStep, ...]
    minutes: tuple[int, int] | None
    """Bench minutes, least and most; None where nothing is to be done or nothing fits."""
    capabilities: Comparison | None
    clearance: Clearances
    assumed: tuple[Assumed, ...]
    ask: Ask | None
    would_fit_if: tuple[Place, ...]
    """Places of the unit that stand in the way: with a fitting board there, this set would fit."""
    cautions: tuple[Caution, ...]
    rests_on: Basis | None
    revision: str


def answer(
    compiled: CompiledCatalogue, question: Question, records: Records = NO_RECORDS, *, looked_up: bool = True
) -> Answer:
    """Answer a question of fit. Raises ImpossibleQuestion (`facts.question`) for one that cannot be put."""
    return answer_case(
        compiled, gather_case(compiled, question, records, looked_up=looked_up), question, looked_up=looked_up
    )


def answer_case(
    compiled: CompiledCatalogue, case: Case, question: Question, *, looked_up: bool = True
) -> Answer:
    """Answer for a case already put together."""
    try:
        decision = decide(compiled, case)
        cause, ask = _open(case, decision, chain=question.every_question)
    except BoundExceeded:
        decision, cause, ask = _past_the_bound(), Cause.BOUND_EXCEEDED, None
    steps = tuple(steps_of(case, decision.rows)) if decision.fit is not Fit.NO else ()
    return Answer(
        case=case,
        outcome=decision.outcome,
        fit=decision.fit,
        programming=decision.programming,
        cause=cause,
        reasons=_grounded(case, decision),
        steps=steps,
        minutes=minutes_of(steps),
        capabilities=compare(case, decision.rows) if decision.rows else None,
        clearance=clearances_of(case, looked_up=looked_up),
        assumed=tuple(assumed_of(case, decision.rows)),
        ask=ask,
        would_fit_if=would_fit_if(decision),
        cautions=cautions_for(case, steps),
        rests_on=rests_on(case, decision),
        revision=compiled.catalogue.revision,
    )


def findable_facts(case: Case, facts: Sequence[str]) -> frozenset[str]:
    """The facts that this caller can find out. One that witnesses contradict is corrected, not asked."""
    clashing = contradicted(case)
    proposed = {str(board.place) for board in case.proposed}
    return frozenset(
        fact for fact in facts if fact not in clashing and effort(fact, case.means, proposed) is not None
    )


def minutes_of(steps: Sequence[PlannedStep]) -> tuple[int, int] | None:
    """The bench minutes of a plan: a step that may not be needed counts towards the most only."""
    if not steps:
        return None
    least = sum(s.step.procedure.minutes[0] for s in steps if s.condition is None)
    return least, sum(s.step.procedure.minutes[1] for s in steps)


def _open(case: Case, decision: Decision, *, chain: bool) -> tuple[Cause | None, Ask | None]:
    """Why it cannot be told, and what to ask. Nothing is indexed for an answer that is settled."""
    if Fit.UNKNOWN is not decision.fit and Programming.UNKNOWN is not decision.programming:
        return None, None
    table = table_of(case, decision)
    proposed = {str(board.place) for board in case.proposed}
    asker = Asker(table, case.means, proposed, findable_facts(case, tuple(table.facts)))
    return cause_of(case, decision, table), asker.ask(chain=chain)


def _grounded(case: Case, decision: Decision) -> tuple[GroundedReason, ...]:
    found = [GroundedReason(reason=r, basis=basis_of(case, r)) for r in decision.reasons]
    found += [GroundedReason(reason=note, basis=basis) for note, basis in notes(case)]
    return tuple(found)


def _past_the_bound() -> Decision:
    return Decision(mask=0, fit=Fit.UNKNOWN, programming=Programming.UNKNOWN, reasons=(), rows=())
