"""Units and wants to ask about: every model of a catalogue, and everything that any model may do."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.case import CaseFacts
from service.domain.facts.question import Question, StatedUnit
from service.domain.terms import MarketId, ModelId
from service.domain.upgrade.offers import Offers
from service.domain.upgrade.wanted import Wanted
from service.papers import read_catalogue
from tests.support.cases import case_of

TRADE_PRACTICE = Path(__file__).parents[1] / "catalogues/trade_practice.yaml"


@cache
def demo() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


def unit(compiled: CompiledCatalogue, model: str, market: str) -> CaseFacts:
    """A unit of a model, of which nothing else is known."""
    stated = StatedUnit(model=ModelId(model), market=MarketId(market))
    return case_of(compiled, Question(unit=stated)).facts


def offers(compiled: CompiledCatalogue, market: str, *, new_parts: bool = True) -> Offers:
    sale = compiled.catalogue.sale
    return Offers(terms=sale.terms.get(MarketId(market)) if sale else None, new_parts=new_parts)


def wants(compiled: CompiledCatalogue) -> Iterator[Wanted]:
    """Each capability in each amount that some model is allowed."""
    models = compiled.catalogue.models.values()
    for name in compiled.catalogue.capabilities:
        amounts = {model.allows[name].amount for model in models if name in model.allows} - {0}
        yield from ({name: amount} for amount in sorted(amounts))


def questions(compiled: CompiledCatalogue) -> Iterator[tuple[CaseFacts, Wanted, Offers]]:
    for model, market in _covered(compiled):
        facts = unit(compiled, model, market)
        for want in wants(compiled):
            yield facts, want, offers(compiled, market)


def _covered(compiled: CompiledCatalogue) -> Iterator[tuple[str, str]]:
    catalogue = compiled.catalogue
    for model in catalogue.models.values():
        if catalogue.families[model.family].covered:
            yield model.id, max(model.markets)
