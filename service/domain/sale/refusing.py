"""Grounds not to sell at all. Each is one small function: the situation in, a ground or nothing out."""

from __future__ import annotations

from service.domain.sale.ground import Ground, ground
from service.domain.sale.situation import Situation
from service.domain.terms import Condition


def board_held(found: Situation) -> Ground | None:
    """Something is held against the board."""
    holds = found.board.holds if found.board else ()
    return ground("board_held", holds=dict.fromkeys(hold.kind for hold in holds)) if holds else None


def unit_held(found: Situation) -> Ground | None:
    """Something is held against the machine that it is for."""
    holds = found.unit.holds if found.unit else ()
    return ground("unit_held", holds=dict.fromkeys(hold.kind for hold in holds)) if holds else None


def donor_held(found: Situation) -> Ground | None:
    """Something is held against the machine that the board came out of."""
    if found.board is None or not found.board.donor_held:
        return None
    donor = found.circumstances.donor
    return ground("donor_held", holds=dict.fromkeys(hold.kind for hold in donor.holds) if donor else ())


def sold_already(found: Situation) -> Ground | None:
    """The board is somebody else's; a customer may well bring one that was bought here."""
    sold = found.board is not None and found.board.sold and not found.question.brought
    return ground("sold_already") if sold else None


def scrapped(found: Situation) -> Ground | None:
    """Scrapped is scrapped, until the record is corrected."""
    gone = found.board is not None and found.board.conditions == {Condition.SCRAPPED}
    return ground("scrapped") if gone else None


def safety_untested(found: Situation) -> Ground | None:
    """A safety function sits on the board, and it was or may have been exposed since it last passed a test.

    What somebody claims counts here: a claim of damage is not overruled by a record that is silent.
    """
    if not any(role.safety for role in found.roles):
        return None
    cases = (board.facts.condition.values or () for board in found.told.case.proposed)
    exposed = any(Condition.EXPOSED in values for values in cases)
    return ground("safety_untested", role=_roles(found)) if exposed else None


def does_not_fit(found: Situation) -> Ground | None:
    """It works in no machine that it may be for, whatever was claimed or assumed."""
    if not all(judgement.refused for judgement in found.judged):
        return None
    reasons = [each for judgement in found.judged for each in judgement.known.reasons]
    deciding = dict.fromkeys(each.reason.code for each in reasons if each.reason.deciding)
    return ground("does_not_fit", reason=deciding)


def _roles(found: Situation) -> list[str]:
    return [role.id for role in found.roles if role.safety]


REFUSING = (board_held, unit_held, donor_held, sold_already, scrapped, safety_untested, does_not_fit)
"""In the order in which they are told; the fit comes after everything that has nothing to do with it."""
