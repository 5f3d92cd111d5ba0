"""What has to be asked or looked up before anything is sold. One small function each."""

from __future__ import annotations

from service.domain.fit.answer import Answer
from service.domain.sale.ground import Ground, ground
from service.domain.sale.question import Asked
from service.domain.sale.situation import Situation
from service.domain.sale.warranty import WarrantyState
from service.domain.terms import Cause, Fit

OF_THE_UNIT = "unit."
"""How the names of facts of the machine itself begin."""
CLASHES = ("facts_contradict", "record_contradicted")


def identity_conflict(found: Situation) -> Ground | None:
    """Plate, papers and records name different machines."""
    conflict = any(judgement.known.case.unit.identity_conflict for judgement in found.judged)
    return ground("identity_conflict") if conflict else None


def machine_ended(found: Situation) -> Ground | None:
    """The machine is recorded as dismantled, scrapped or converted: somebody misread its plate, or else."""
    return ground("machine_ended") if found.unit is not None and found.unit.ended else None


def record_contradicts(found: Situation) -> Ground | None:
    """Readings and records exclude each other: the record has to be corrected first."""
    notes = [note.reason for judgement in found.judged for note in judgement.known.notes]
    facts = [fact for note in notes if note.code in CLASHES for fact in note.facts["fact"]]
    return ground("record_contradicts", fact=dict.fromkeys(facts)) if facts else None


def not_ours(found: Situation) -> Ground | None:
    """Where the board is by the record does not go with selling it, or with somebody bringing it."""
    record = found.board
    if record is not None and record.in_unit is not None:
        here = record.in_unit == found.told.case.unit.serial
        return None if found.question.brought and here else ground("fitted_elsewhere", unit=(record.in_unit,))
    if found.question.brought:
        ours = record is not None and record.in_custody
        return ground("recorded_as_ours") if ours else None
    in_hand = record is not None and record.in_custody
    return None if in_hand else ground("not_recorded_here")


def part_open(found: Situation) -> Ground | None:
    """Nobody has looked which part the board is, so it has no price."""
    if found.part is not None:
        return None
    return ground("part_open", part=(part.number for part in found.known_parts))


def fact_open(found: Situation) -> Ground | None:
    """Something can be found out that would settle whether it fits, or what has to be programmed."""
    for judgement in found.judged:
        fact = _askable(found, judgement.known)
        if fact is not None:
            return ground("fact_open", fact=(fact,))
    return None


def claims_decide(found: Situation) -> Ground | None:
    """What somebody says of the board makes the difference, and a reading would settle it.

    Of a board that the customer brings nobody knows more; it is taken on the condition that it is read
    first, unless what the customer says speaks against it.
    """
    differing = [judgement for judgement in found.judged if judgement.claims_matter]
    if found.question.brought:
        differing = [judgement for judgement in differing if judgement.told.fit is Fit.NO]
    return ground("claims_decide") if differing else None


def machine_decides(found: Situation) -> Ground | None:
    """It would not work because of what is assumed or claimed of the machine, which nobody has read."""
    refusing = [each for each in found.judged if each.known.fit is Fit.NO and not each.refused]
    return ground("machine_decides") if refusing and found.question.model_named else None


def too_much_open(found: Situation) -> Ground | None:
    """So much is unknown at once that nothing can be told."""
    past = any(judgement.known.cause is Cause.BOUND_EXCEEDED for judgement in found.judged)
    return ground("too_much_open") if past else None


def market_open(found: Situation) -> Ground | None:
    """Nobody said where it is sold, so there are no terms."""
    return ground("market_open") if found.market is None else None


def no_terms(found: Situation) -> Ground | None:
    """The catalogue has no terms for this market, or none for a board that is brought."""
    if found.market is None:
        return None
    own = found.terms is not None and found.terms.own_board is None and found.question.brought
    if own:
        return ground("no_terms_for_own_board", market=(found.market,))
    return ground("no_terms", market=(found.market,)) if found.terms is None else None


def no_price(found: Situation) -> Ground | None:
    """The catalogue has no price for the part, new or used as this board is."""
    if found.part is None or found.question.brought:
        return None
    price = found.part.used_price if found.used else found.part.price
    return ground("no_price", part=(found.part.number,)) if price is None else None


def warranty_open(found: Situation) -> Ground | None:
    """The maker may have to pay for it."""
    if Asked.WARRANTY in found.question.asked:
        return None
    match found.warranty.state:
        case WarrantyState.OPEN:
            return ground("warranty_open", until=_until(found))
        case WarrantyState.UNKNOWN:
            return ground("warranty_unknown")
        case _:
            return None


def campaign_open(found: Situation) -> Ground | None:
    """The maker may put it right at its own cost."""
    if Asked.CAMPAIGN in found.question.asked or not found.campaigns:
        return None
    return ground("campaign_open", campaign=(campaign.id for campaign in found.campaigns))


def _askable(found: Situation, answer: Answer) -> str | None:
    """The fact that is asked back, where asking is the way on.

    Where no machine is named only the board is looked at; and a board that the customer brings is read
    as the first step of the job.
    """
    fact = answer.ask.fact if answer.ask else None
    if fact is None:
        return None
    of_unit = fact.startswith(OF_THE_UNIT)
    if of_unit:
        return fact if found.question.model_named else None
    return None if found.question.brought else fact


def _until(found: Situation) -> tuple[str, ...]:
    return (found.warranty.over_from.isoformat(),) if found.warranty.over_from else ()


ASKING = (
    identity_conflict,
    machine_ended,
    record_contradicts,
    not_ours,
    part_open,
    claims_decide,
    fact_open,
    machine_decides,
    too_much_open,
    market_open,
    no_terms,
    no_price,
    warranty_open,
    campaign_open,
)
"""In the order in which they are told."""
