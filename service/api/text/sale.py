"""The till's answer and the sale for a person at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

Shown = Mapping[str, Any]


def check(data: Shown) -> str:
    """One check: what the staff has to know, then what the customer is told and pays."""
    paragraphs = [data["staff_text"], data["customer_text"], *_money(data), *_printed(data), data["id"]]
    return "\n\n".join(paragraphs) + "\n"


def receipt(data: Shown) -> str:
    """The sale, for the customer."""
    number = f"{data['check']} ({data['completed']['seq']})"
    return "\n\n".join([data["board"]["serial"], *_money(data), *_printed(data), number]) + "\n"


def _money(data: Shown) -> Iterator[str]:
    quote = data["quote"]
    if quote is None:
        return
    rows = [(line["text"], line["amount"]) for line in quote["lines"]]
    rows.append((f"{quote['tax']['rate']} %", quote["tax"]["amount"]))
    rows.append((quote["currency"], quote["to_pay"]))
    width = max(len(amount) for _, amount in rows)
    yield "\n".join(f"{amount:>{width}}  {text}" for text, amount in rows)


def _printed(data: Shown) -> Iterator[str]:
    yield from (" ".join(data[name]) for name in ("receipt", "returns") if data[name])
