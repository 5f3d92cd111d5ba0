"""Why an answer is `cannot_tell`: which kind of not knowing stands in the way."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.facts.case import BoardCase, Case
from service.domain.fit.decision import Decision
from service.domain.fit.relevance import relevant
from service.domain.fit.table import ATTRIBUTES, Table, index
from service.domain.terms import Cause, Fit


def table_of(case: Case, decision: Decision) -> Table:
    """The worlds of a decision, indexed for questions."""
    return index(decision.rows, known=_settled(case))


def contradicted(case: Case) -> frozenset[str]:
    """Names of the facts that witnesses contradict each other about: these are corrected, not asked."""
    boards = {**case.present, **{board.place: board for board in case.proposed}}
    found = {name for board in boards.values() for name in _contradicted(board)}
    if case.unit.identity_conflict:
        found |= {"unit.model", "unit.serial"}
    return frozenset(found)


def cause_of(case: Case, decision: Decision, table: Table) -> Cause | None:
    """The first cause that a relevant fact carries; None where the fit is known."""
    if decision.fit is not Fit.UNKNOWN:
        return None
    if decision.rows and not any(row.hub.covered for row in decision.rows):
        return Cause.OUT_OF_SCOPE
    if not decision.mask:
        return Cause.CONTRADICTION
    facts = set(relevant(table, {}, table.facts))
    if facts & contradicted(case):
        return Cause.CONTRADICTION
    if case.unit.unknown_layout and facts & {"unit.model", "unit.serial"}:
        return Cause.UNKNOWN_LAYOUT
    return Cause.WORLDS_DIFFER


def _contradicted(board: BoardCase) -> Iterator[str]:
    for attribute in ATTRIBUTES:
        if getattr(board, attribute).contradiction:
            yield f"{board.place}.{attribute}"


def _settled(case: Case) -> list[str]:
    settled = []
    if case.unit.keys is not None and len(case.unit.keys) == 1:
        settled.append("unit.serial")
    if case.unit.made is not None and all(first == last for first, last in case.unit.made):
        settled.append("unit.made_on")
    return settled
