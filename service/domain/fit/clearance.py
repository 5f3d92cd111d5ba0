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


def clearances_of(case: Case, *, looked_up: bool) -> Clearances:
    """The clearances of a case; a caller that may not read the ledger learns that nothing was checked."""
    if not looked_up:
        unchecked = Clearance.NOT_CHECKED
        return Clearances(board=unchecked, unit=unchecked, donor=unchecked)
    return Clearances(board=_boards(case), unit=_unit(case), donor=_donor(case))


def _boards(case: Case) -> Clearance:
    if any(board.record and board.record.holds for board in case.proposed):
        return Clearance.HELD
    named = case.proposed and all(board.serial for board in case.proposed)
    return Clearance.NOTHING_KNOWN if named else Clearance.NOT_CHECKED


def _unit(case: Case) -> Clearance:
    if case.unit.record is not None and case.unit.record.holds:
        return Clearance.HELD
    return Clearance.NOTHING_KNOWN if case.unit.serial else Clearance.NOT_CHECKED


def _donor(case: Case) -> Clearance:
    records = [board.record for board in case.proposed if board.record and board.record.donor]
    if any(record.donor_held for record in records):
        return Clearance.HELD
    return Clearance.NOTHING_KNOWN if records else Clearance.NOT_CHECKED
