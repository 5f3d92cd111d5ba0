"""How well an answer is grounded: the basis of each reason, and what was said against what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from service.domain.facts.case import BOARDS_KEPT, BoardFacts, Case, CaseFacts
from service.domain.facts.known import Known
from service.domain.fit.decision import UNIT, Decision, Reason
from service.domain.fit.own_boards import staying
from service.domain.fit.table import EVERY_ATTRIBUTE
from service.domain.place import Place
from service.domain.terms import Basis, Condition, Fit, Rule

OWN_BOARD = {
    "scrapped": "own_board_scrapped",
    "failed": "own_board_failed_test",
    "exposed": "own_board_exposed",
}
"""By `terms.Condition`. What is said of a board that stays and is in such a state."""
STRENGTH = {basis: strength for strength, basis in enumerate(Basis)}
"""0 is the strongest."""


def basis_of(facts: CaseFacts, found: Reason) -> Basis | None:
    """How the fact under a reason is known; the catalogue's own facts have no basis."""
    if not found.fact:
        return None
    board = facts.board_at(found.place)
    if board is None:
        return Basis.ASSUMED if facts.assume else None
    known: Known = getattr(board, found.fact)
    return known.basis or (Basis.ASSUMED if board.assumed else None)


def rests_on(facts: CaseFacts, decision: Decision) -> Basis | None:
    """The weakest basis that the answer needs. A no needs one deciding reason: its best-known one counts."""
    if decision.fit is Fit.NO:
        bases = [basis_of(facts, r) for r in decision.reasons if r.deciding and r.certain]
        return _pick(bases, strongest=True) or facts.model.basis
    boards = (*facts.proposed, *facts.present)
    bases = [board.binding.basis for board in boards] + [board.part.basis for board in boards]
    joined = {place for row in decision.rows for joint in row.joints for place in joint.places}
    bases += [board.release.basis for board in boards if board.place in joined]
    bases.append(facts.model.basis)
    if facts.assume and any(_untouched(facts, row.places) for row in decision.rows):
        bases.append(Basis.ASSUMED)
    return _pick(bases, strongest=False)


def notes(case: Case) -> list[tuple[Reason, Basis | None]]:
    """Reasons that no rule gives in a world: conflicts of witnesses, claims overruled, records to close."""
    found: list[tuple[Reason, Basis | None]] = []
    if case.unit.identity_conflict:
        said = {who: tuple(sorted(models)) for who, models in case.unit.witnesses}
        found.append((_note("identity_conflict", UNIT, "", said), None))
    if case.unit.record is not None and case.unit.record.ended:
        found.append((_note("unit_out_of_service", UNIT, "", {}), Basis.RECORDED))
    for board in case.proposed:
        found += _clashes(board.facts)
        if board.facts.sits:
            basis = Basis.RECORDED if board.record is not None else None
            found.append((_note("sits_there_already", board.place, "", {}), basis))
        elif board.record is not None and board.record.in_unit is not None:
            here = board.record.in_unit == case.unit.serial
            code = "fitted_here_already" if here else "recorded_in_another_unit"
            found.append((_note(code, board.place, "", {}), Basis.RECORDED))
    for board in case.present.values():
        found += _clashes(board.facts)
    for board in staying(case):
        found += _not_usable(board.facts)
    return found


@lru_cache(maxsize=BOARDS_KEPT)
def _not_usable(board: BoardFacts) -> tuple[tuple[Reason, Basis | None], ...]:
    """What speaks against using a board that stays."""
    known = board.condition
    found = sorted((known.values or frozenset()) - {Condition.USABLE})
    certain = len(found) == 1 and known.certain
    return tuple(
        (_note(OWN_BOARD[state], board.place, "condition", {}, Rule.USABLE, certain=certain), known.basis)
        for state in found
    )


@lru_cache(maxsize=BOARDS_KEPT)
def _clashes(board: BoardFacts) -> tuple[tuple[Reason, Basis | None], ...]:
    """Facts of one board that contradict each other, or somebody's word."""
    return tuple(
        clash
        for attribute in EVERY_ATTRIBUTE
        for clash in _clashes_of(board.place, attribute, getattr(board, attribute))
    )


def _clashes_of(place: Place, attribute: str, known: Known) -> Iterator[tuple[Reason, Basis | None]]:
    facts = {"fact": (f"{place}.{attribute}",), "values": tuple(sorted(known.values or ()))}
    if known.contradiction:
        yield _note("facts_contradict", place, attribute, facts), known.basis
    if known.contradicted is not None:
        code = "claim_contradicted" if known.contradicted is Basis.CLAIMED else "record_contradicted"
        yield _note(code, place, attribute, facts), known.contradicted


def _note(
    code: str,
    place: Place,
    attribute: str,
    facts: Mapping[str, tuple[str, ...]],
    rule: Rule = Rule.IDENTITY,
    *,
    certain: bool = True,
) -> Reason:
    return Reason(code, rule, place, attribute, facts, deciding=False, certain=certain)


def _untouched(facts: CaseFacts, places: Iterable[Place]) -> bool:
    return any(facts.board_at(place) is None for place in places)


def _pick(bases: Iterable[Basis | None], *, strongest: bool) -> Basis | None:
    known = sorted((basis for basis in bases if basis is not None), key=lambda b: STRENGTH[b])
    if not known:
        return None
    return known[0] if strongest else known[-1]
