"""Why an answer is `cannot_tell`: which kind of not knowing stands in the way."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet

from service.domain.facts.case import BoardFacts, CaseFacts
from service.domain.fit.decision import Decision
from service.domain.fit.relevance import relevant
from service.domain.fit.table import EVERY_ATTRIBUTE, Table, index
from service.domain.terms import Cause, Fit


def table_of(facts: CaseFacts, decision: Decision) -> Table:
    """The worlds of a decision, indexed for questions."""
    return index(decision.rows, known=facts.settled)


def contradicted(facts: CaseFacts) -> frozenset[str]:
    """Names of the facts that witnesses contradict each other about: these are corrected, not asked."""
    boards = {board.place: board for board in (*facts.present, *facts.proposed)}
    found = {name for board in boards.values() for name in _contradicted(board)}
    if facts.model.contradiction:
        found.add("unit.model")
    if facts.serial_conflict:
        found.add("unit.serial")
    return frozenset(found)


def cause_of(facts: CaseFacts, decision: Decision, table: Table) -> Cause | None:
    """The first cause that a relevant fact carries; None where the fit is known."""
    if decision.fit is not Fit.UNKNOWN:
        return None
    if decision.rows and not any(row.hub.covered for row in decision.rows):
        return Cause.OUT_OF_SCOPE
    if not decision.mask:
        return Cause.CONTRADICTION
    return _of_relevant(facts, decision, set(relevant(table, {}, table.facts)))


def _of_relevant(facts: CaseFacts, decision: Decision, matters: AbstractSet[str]) -> Cause:
    if matters & contradicted(facts):
        return Cause.CONTRADICTION
    if facts.unknown_layout and matters & {"unit.model", "unit.serial"}:
        return Cause.UNKNOWN_LAYOUT
    past_bound = any(joint.past_bound for row in decision.rows for joint in row.joints)
    return Cause.BOUND_EXCEEDED if past_bound and not matters else Cause.WORLDS_DIFFER


def _contradicted(board: BoardFacts) -> Iterator[str]:
    for attribute in EVERY_ATTRIBUTE:
        if getattr(board, attribute).contradiction:
            yield f"{board.place}.{attribute}"
