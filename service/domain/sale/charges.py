"""What is charged with the sale: the board and what goes with it, or the work on one that is brought."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from service.domain.catalogue.model import Part, SaleTerms
from service.domain.fit.answer import Answer
from service.domain.quote.quoting import Charge, LineKind, Prices, Quote, Tax, quote
from service.domain.sale.situation import Situation
from service.domain.sale.work import Work
from service.domain.terms import Cause, Fit, Programming, StepKind, Who

MINUTES_AN_HOUR = 60


def quoted(found: Situation) -> Quote | None:
    """The lines and what they come to; None where the catalogue or the facts give no price.

    Labour is told for the most bench minutes that the work may take, so the customer never pays more.
    """
    sale, charges = found.compiled.catalogue.sale, tuple(_charges(found))
    not_taken = found.question.brought and found.terms is not None and found.terms.own_board is None
    if found.terms is None or sale is None or not_taken or not charges:
        return None
    return quote(
        charges,
        currency=found.compiled.catalogue.currency,
        tax=Tax(
            rate=found.terms.tax_rate,
            prices=Prices.INCLUDED if found.terms.prices_include_tax else Prices.EXCLUDED,
        ),
        # It lies here, or the customer has it in hand.
        lead_days=0,
        catalogue_revision=found.compiled.catalogue.revision,
        valid_until=found.circumstances.day + timedelta(days=sale.valid_days),
    )


def _charges(found: Situation) -> Iterator[Charge]:
    if found.terms is None:
        return
    if not found.question.brought:
        if found.part is None:
            return
        price = found.part.used_price if found.used else found.part.price
        if price is None:
            return
        yield Charge(kind=LineKind.PART, number=found.part.number, quantity=1, unit_price=price)
        yield from _companions(found, found.part)
    yield from _work(found, found.terms)


def _companions(found: Situation, part: Part) -> Iterator[Charge]:
    """Seals and cables that go with a swap. Which ones a machine takes that the papers do not cover, nobody
    knows: for such a one the board is sold alone."""
    if found.question.model_named and found.judged[0].known.cause is Cause.OUT_OF_SCOPE:
        return
    for each in part.companions:
        if each.price is not None:
            yield Charge(kind=LineKind.COMPANION, number=each.number, quantity=1, unit_price=each.price)


def _work(found: Situation, terms: SaleTerms) -> Iterator[Charge]:
    """Programming and labour, where there is a machine and the board needs the work: what the machine needs
    whatever is sold is told as a condition, and is no part of this sale."""
    if not found.question.model_named:
        return
    judged = found.judged[0]
    answer, work = judged.worked, judged.work
    if answer.fit is Fit.YES and answer.programming is Programming.NEEDED and _takes_tool(work):
        yield Charge(kind=LineKind.PROGRAMMING, quantity=1, unit_price=terms.programming_fee)
        minutes = _bench_minutes(work)
    else:
        minutes = _reading_minutes(answer) if found.question.brought else 0
    if minutes:
        yield Charge(
            kind=LineKind.LABOUR, quantity=minutes, unit_price=terms.labour_per_hour, per=MINUTES_AN_HOUR
        )


def _takes_tool(work: Work) -> bool:
    """Whether the board takes the tool; where the machine needs nothing of its own, whatever needs it is the
    board's, also while no plan can be told."""
    return work.sale_programs or not work.of_machine


def _bench_minutes(work: Work) -> int:
    """The most minutes of all that the owner does not do."""
    procedures = [planned.step.procedure for planned in work.of_sale]
    return sum(procedure.minutes[1] for procedure in procedures if procedure.who is not Who.OWNER)


def _reading_minutes(answer: Answer) -> int:
    """The most minutes that reading a board out takes in a machine that it may be for."""
    hubs = answer.case.facts.hubs
    found = [hub.procedures[StepKind.READ_OUT] for hub in hubs if StepKind.READ_OUT in hub.procedures]
    return max((procedure.minutes[1] for procedure in found), default=0)
