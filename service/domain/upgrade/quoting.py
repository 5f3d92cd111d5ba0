"""What a plan costs, line by line, on the terms of the market."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.quote.money import exact, rounded
from service.domain.quote.quoting import Prices, Quote, Tax, quote
from service.domain.terms import MarketId
from service.domain.upgrade.plans import Plan


def quoted(compiled: CompiledCatalogue, market: MarketId, plan: Plan, day: date) -> Quote | None:
    """The quote of a plan on a day; None where the catalogue has no terms of sale for the market."""
    sale = compiled.catalogue.sale
    terms = sale.terms.get(market) if sale else None
    if sale is None or terms is None:
        return None
    return quote(
        plan.charges,
        currency=compiled.catalogue.currency,
        tax=Tax(
            rate=terms.tax_rate,
            prices=Prices.INCLUDED if terms.prices_include_tax else Prices.EXCLUDED,
        ),
        lead_days=plan.lead_days,
        catalogue_revision=compiled.catalogue.revision,
        valid_until=day + timedelta(days=sale.valid_days),
    )


def paid(compiled: CompiledCatalogue, market: MarketId, amount: Decimal) -> Decimal:
    """What a customer pays for a price of the list: with the tax, where the market has terms."""
    sale = compiled.catalogue.sale
    terms = sale.terms.get(market) if sale else None
    if terms is None or terms.prices_include_tax:
        return amount
    taxed = exact(amount) * (1 + exact(terms.tax_rate) / 100)
    return rounded(taxed, compiled.catalogue.currency)
