"""Whether anything is held against the board, the unit, or the unit that the board came out of.

Fit is not permission: a hold never changes the outcome. Nothing known is never called clean.
"""

from __future__ import annotations

from typing import NamedTuple

from service.domain.facts.case import Case
from service.domain.terms import Clearance


class Clearances(NamedTuple):
    """One word for each of the three."""

    board: Clearance
    unit: Clearance
    donor: Clearance


NOTHING_CHECKED = Clearances(Clearance.NOT_CHECKED, Clearance.NOT_CHECKED, Clearance.NOT_CHECKED)


def clearances_of(case: Case, *, looked_up: bool) -> Clearances:
    """The clearances of a case; a caller that may not read the ledger learns that nothing was checked."""
    if not looked_up:
        return NOTHING_CHECKED
    unit = case.unit.record
    named, held, donated, donor_held = bool(case.proposed), False, False, False
    for board in case.proposed:
        named = named and bool(board.serial)
        if board.record is not None:
            held = held or bool(board.record.holds)
            donated = donated or bool(board.record.donor)
            donor_held = donor_held or board.record.donor_held
    return Clearances(
        _word(held=held, known=named),
        _word(held=unit is not None and bool(unit.holds), known=bool(case.unit.serial)),
        _word(held=donor_held, known=donated),
    )


def _word(*, held: bool, known: bool) -> Clearance:
    if held:
        return Clearance.HELD
    return Clearance.NOTHING_KNOWN if known else Clearance.NOT_CHECKED
