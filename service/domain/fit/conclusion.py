"""The conclusion: everything in an answer that is a function of the facts, whichever boards they are of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from service.domain.capability.comparing import Comparison, compare
from service.domain.cautions import Caution, cautions_for
from service.domain.facts.case import CASES_KEPT, CaseFacts
from service.domain.fit.asking import Ask, Asker
from service.domain.fit.assumed import Assumed, assumed_of
from service.domain.fit.cause import cause_of, contradicted, table_of
from service.domain.fit.decision import Decision, Reason, decide
from service.domain.fit.effort import effort
from service.domain.fit.grounds import basis_of, rests_on
from service.domain.fit.remedies import would_fit_if
from service.domain.fit.worlds import BoundExceeded
from service.domain.place import Place
from service.domain.steps.merging import PlannedStep, steps_of
from service.domain.terms import Basis, Cause, Fit, Programming


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundedReason:
    """A reason with how well the fact under it is known."""

    reason: Reason
    basis: Basis | None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Conclusion:
    """What follows from the facts."""

    decision: Decision
    """Without its rows, which would be most of what is kept: see `worlds.table_again`."""
    cause: Cause | None
    """Why it is `cannot_tell`; None where the fit is known."""
    reasons: tuple[GroundedReason, ...]
    steps: tuple[PlannedStep, ...]
    minutes: tuple[int, int] | None
    """Bench minutes, least and most; None where nothing is to be done or nothing fits."""
    capabilities: Comparison | None
    assumed: tuple[Assumed, ...]
    ask: Ask | None
    would_fit_if: tuple[Place, ...]
    """Places of the unit that stand in the way: with a fitting board there, this set would fit."""
    cautions: tuple[Caution, ...]
    rests_on: Basis | None


@lru_cache(maxsize=CASES_KEPT)
def conclude(facts: CaseFacts) -> Conclusion:
    """What follows from the facts. Kept for equal facts: a shop asks about the same few models all day."""
    try:
        decision = decide(facts)
    except BoundExceeded:
        decision = _past_the_bound()
    cause, ask = _open(facts, decision)
    steps = tuple(steps_of(facts, decision.rows)) if decision.fit is not Fit.NO else ()
    return Conclusion(
        decision=decision._replace(rows=()),
        cause=cause,
        reasons=tuple(GroundedReason(reason=r, basis=basis_of(facts, r)) for r in decision.reasons),
        steps=steps,
        minutes=minutes_of(steps),
        capabilities=compare(facts, decision.rows) if decision.rows else None,
        assumed=tuple(assumed_of(facts, decision.rows)),
        ask=ask,
        would_fit_if=would_fit_if(decision),
        cautions=cautions_for(facts.means, steps),
        rests_on=rests_on(facts, decision),
    )


def findable_facts(facts: CaseFacts, names: Sequence[str]) -> frozenset[str]:
    """The facts that this caller can find out. One that witnesses contradict is corrected, not asked."""
    clashing = contradicted(facts)
    proposed = set(map(str, facts.loose))
    return frozenset(
        name for name in names if name not in clashing and effort(name, facts.means, proposed) is not None
    )


def minutes_of(steps: Sequence[PlannedStep]) -> tuple[int, int] | None:
    """The bench minutes of a plan: a step that may not be needed counts towards the most only."""
    if not steps:
        return None
    least = sum(s.step.procedure.minutes[0] for s in steps if s.condition is None)
    return least, sum(s.step.procedure.minutes[1] for s in steps)


def _open(facts: CaseFacts, decision: Decision) -> tuple[Cause | None, Ask | None]:
    """Why it cannot be told, and what to ask. Nothing is indexed for an answer that is settled."""
    if decision.fit is not Fit.UNKNOWN and decision.programming is not Programming.UNKNOWN:
        return None, None
    if decision.past_bound:
        return Cause.BOUND_EXCEEDED, None
    table = table_of(facts, decision)
    proposed = set(map(str, facts.loose))
    asker = Asker(table, facts.means, proposed, findable_facts(facts, tuple(table.facts)))
    try:
        return cause_of(facts, decision, table), asker.ask(chain=facts.every_question)
    except BoundExceeded:
        return Cause.BOUND_EXCEEDED, None


def _past_the_bound() -> Decision:
    return Decision(
        mask=0, fit=Fit.UNKNOWN, programming=Programming.UNKNOWN, reasons=(), rows=(), past_bound=True
    )
