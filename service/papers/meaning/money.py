"""Prices are amounts of the catalogue's currency: no finer than its minor unit (ISO 4217)."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from service.domain.quote.currencies import MINOR_UNITS
from service.domain.quote.money import digits, is_amount
from service.papers.draft import Draft, entries
from service.papers.faults import Report
from service.papers.places import Path


def check_money(draft: Draft, report: Report) -> None:
    """Check the currency and every price that is told in it."""
    currency = draft["currency"]
    if currency is None:
        return
    if currency not in MINOR_UNITS:
        report.add("unknown_currency", ("currency",), f"there is no currency {currency} with a minor unit")
        return
    for path, price in _prices(draft):
        if isinstance(price, Decimal) and not is_amount(price, currency):
            places = digits(currency)
            told = f"{price} is finer than {currency} is, which has {places or 'no'} digits after the point"
            report.add("price_too_fine", path, told)


def _prices(draft: Draft) -> Iterator[tuple[Path, Any]]:
    for place, part in entries(draft["parts"]):
        yield from ((("parts", place, name), part[name]) for name in ("price", "used_price"))
        for at, companion in entries(part["goes_with"]):
            yield ("parts", place, "goes_with", at, "price"), companion["price"]
    yield from _of_upgrades(draft["upgrades"] or {})
    for market, terms in entries((draft["sale"] or {}).get("markets")):
        for name in ("programming_fee", "labour_per_hour"):
            yield ("sale", "markets", market, name), terms[name]


def _of_upgrades(upgrades: Draft) -> Iterator[tuple[Path, Any]]:
    for section in ("models", "accessories", "conversions"):
        for place, offer in entries(upgrades.get(section)):
            for name in ("price", "trade_in"):
                yield ("upgrades", section, place, name), offer.get(name)
