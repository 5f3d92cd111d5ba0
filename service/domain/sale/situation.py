"""All that a decision at the till looks at, put together once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Campaign, Part, Role, SaleTerms
from service.domain.facts.question import ImpossibleQuestion
from service.domain.facts.records import BoardRecord, UnitRecord
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer, answer_from
from service.domain.sale.campaigns import open_campaigns
from service.domain.sale.judging import Judgement, as_put, judgements
from service.domain.sale.question import SaleQuestion
from service.domain.sale.warranty import Warranty, warranty_of
from service.domain.terms import BindingPolicy, MarketId, PartNumber


@dataclass(frozen=True, slots=True, kw_only=True)
class Circumstances:
    """What a decision needs besides the catalogue, the question and the records of it."""

    day: date
    """Today; the day of the moment that was asked about."""
    was_out: bool
    """Whether anything is recorded of the board after which it is not new: fitted, sold, found, worked on."""
    donor: UnitRecord | None = None
    """The unit that the board came out of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """One question at the till with everything that is known."""

    compiled: CompiledCatalogue
    question: SaleQuestion
    circumstances: Circumstances
    told: Answer
    """The answer of fit to the question as it was put: the one that is shown."""
    judged: tuple[Judgement, ...]
    market: MarketId | None
    """Where it is sold; None where nothing says so."""
    terms: SaleTerms | None
    warranty: Warranty
    campaigns: tuple[Campaign, ...]
    """Those that may be open for this machine and board."""

    @property
    def board(self) -> BoardRecord | None:
        """What is recorded of the board."""
        return self.told.case.proposed[0].record

    @property
    def unit(self) -> UnitRecord | None:
        """What is recorded of the machine."""
        return self.told.case.unit.record

    @property
    def known_parts(self) -> tuple[Part, ...]:
        """The parts that the board may be, claims aside."""
        cases = [board for each in self.judged for board in each.known.case.proposed]
        numbers = {number for board in cases or self.told.case.proposed for number in board.part.values or ()}
        parts = self.compiled.catalogue.parts
        return tuple(parts[PartNumber(number)] for number in sorted(numbers))

    @property
    def part(self) -> Part | None:
        """The part that the board is; None while it may be one of several."""
        return self.known_parts[0] if len(self.known_parts) == 1 else None

    @property
    def roles(self) -> tuple[Role, ...]:
        """The roles that the board may be for."""
        roles = self.compiled.catalogue.roles
        return tuple(roles[role] for role in dict.fromkeys(b.place.role for b in self.told.case.proposed))

    @property
    def used(self) -> bool:
        """Whether it is sold as used: it was out of its box, or binds and is not known to be blank."""
        record = self.board
        if record is None or self.circumstances.was_out or record.donor is not None:
            return True
        binds = any(part.binding is not BindingPolicy.FREE for part in self.known_parts)
        return binds and record.binding.values != frozenset({"blank"})


def situation(sources: Sources, question: SaleQuestion, circumstances: Circumstances) -> Situation:
    """Put together what a question at the till is decided from.

    Raises ImpossibleQuestion (`facts.question`) for one that cannot be put.
    """
    catalogue = sources.compiled.catalogue
    if question.market is not None and question.market not in catalogue.markets:
        raise ImpossibleQuestion("unknown_market", "/market", market=question.market)
    told = answer_from(sources, as_put(question))
    market = _market(question, told, tuple(catalogue.sale.terms) if catalogue.sale else ())
    terms = catalogue.sale.terms.get(market) if catalogue.sale and market else None
    return Situation(
        compiled=sources.compiled,
        question=question,
        circumstances=circumstances,
        told=told,
        judged=judgements(sources, question, told),
        market=market,
        terms=terms,
        warranty=warranty_of(question, told.case.unit, terms, circumstances.day),
        campaigns=tuple(open_campaigns(sources.compiled, question, told)),
    )


def _market(question: SaleQuestion, told: Answer, priced: tuple[MarketId, ...]) -> MarketId | None:
    """Where it is sold: as stated, else where the machine is used, else the only market with terms."""
    known = told.case.unit.market
    if question.market is not None:
        return question.market
    if known.certain and known.values:
        return MarketId(next(iter(known.values)))
    return priced[0] if len(priced) == 1 else None
