"""A quote as plain JSON values. Amounts are decimals in texts: nothing on the way makes them binary."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from service.domain.quote.quoting import Line, Quote


def quote_lines(of: Quote, line_name: Callable[[Line], str]) -> dict[str, Any]:
    """The lines and what they come to."""
    return {
        "currency": of.currency,
        "lines": [_line(each, line_name(each)) for each in of.lines],
        "total": str(of.total),
        "tax": {"rate": str(of.tax.rate), "prices": of.tax.prices.value, "amount": str(of.tax_amount)},
        "to_pay": str(of.to_pay),
        **({"lead_days": of.lead_days} if of.lead_days is not None else {}),
        "valid_until": of.valid_until.isoformat(),
    }


def _line(of: Line, text: str) -> dict[str, Any]:
    charge = of.charge
    return {
        "kind": charge.kind.value,
        **({"number": charge.number} if charge.number else {}),
        "text": text,
        "quantity": charge.quantity,
        "unit_price": str(charge.unit_price),
        "per": charge.per,
        "amount": str(of.amount),
        "tax": str(of.tax),
    }
