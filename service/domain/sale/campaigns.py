"""Campaigns of the maker that may be open for this machine and board."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Campaign
from service.domain.facts.identity import UnitFacts
from service.domain.fit.answer import Answer
from service.domain.sale.question import SaleQuestion


def open_campaigns(compiled: CompiledCatalogue, question: SaleQuestion, told: Answer) -> Iterator[Campaign]:
    """Those of which nothing that is known says that they are for others."""
    for campaign in compiled.catalogue.campaigns:
        if _for_board(campaign, told) and _for_machine(compiled, campaign, question, told.case.unit):
            yield campaign


def _for_board(campaign: Campaign, told: Answer) -> bool:
    if campaign.parts is None:
        return True
    known = [board.part.values for board in told.case.proposed]
    return any(values is None or not values.isdisjoint(campaign.parts) for values in known)


def _for_machine(
    compiled: CompiledCatalogue, campaign: Campaign, question: SaleQuestion, unit: UnitFacts
) -> bool:
    if campaign.models is None:
        return True
    if not question.model_named:
        return False
    models = unit.model.values
    if models is not None and models.isdisjoint(campaign.models):
        return False
    return _within_serials(compiled, campaign, unit) and _within_dates(campaign, unit)


def _within_serials(compiled: CompiledCatalogue, campaign: Campaign, unit: UnitFacts) -> bool:
    if unit.keys is None:
        return True
    first = compiled.serial_key(campaign.serial_from) if campaign.serial_from else None
    before = compiled.serial_key(campaign.serial_before) if campaign.serial_before else None
    return any((first is None or first <= key) and (before is None or key < before) for key in unit.keys)


def _within_dates(campaign: Campaign, unit: UnitFacts) -> bool:
    if unit.made is None:
        return True
    first, before = campaign.date_from, campaign.date_before
    return any((first is None or first <= b) and (before is None or a < before) for a, b in unit.made)
