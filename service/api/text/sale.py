"""The till's answer and the sale for a person at a terminal, in the language that they were given in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.text.lists import amounts
from service.words.language import language

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
    if data["quote"] is not None:
        yield "\n".join(amounts(data["quote"], language(data["language"])))


def _printed(data: Shown) -> Iterator[str]:
    yield from (" ".join(data[name]) for name in ("receipt", "returns") if data[name])
