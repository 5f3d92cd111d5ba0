"""The till's answer in the short words of the case files."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from service.domain.sale.check import SaleAnswer
from service.words.names import Names
from service.words.sale import customer_text, receipt_paragraphs, return_paragraphs, staff_text


def lines(answer: SaleAnswer) -> list[str]:
    """The lines as `part MN-4100 149.00`; work has no number."""
    found = answer.quote.lines if answer.quote else ()
    told = [(str(line.charge.kind), line.charge.number, str(line.amount)) for line in found]
    return [" ".join(word for word in words if word) for words in told]


EXACT: Mapping[str, Callable[[SaleAnswer], Any]] = {
    "decision": lambda a: str(a.decision),
    "grounds": lambda a: [each.code for each in a.grounds],
    "conditions": lambda a: [each.code for each in a.conditions],
    "lines": lines,
    "to_pay": lambda a: str(a.quote.to_pay) if a.quote else None,
    "tax": lambda a: str(a.quote.tax_amount) if a.quote else None,
    "valid_until": lambda a: a.quote.valid_until.isoformat() if a.quote else None,
    "used": lambda a: a.found.used,
    "market": lambda a: a.found.market,
}
"""What has to be equal."""

SAID: Mapping[str, Callable[[SaleAnswer, Names], str]] = {
    "customer": customer_text,
    "staff": staff_text,
    "receipt": lambda a, names: " ".join(receipt_paragraphs(a, names)),
    "returns": lambda a, names: " ".join(return_paragraphs(a, names)),
}
"""Phrases that have to be in a text; with `no_` before the name, that must not be."""


def facts(answer: SaleAnswer) -> dict[str, list[str]]:
    """The facts of all grounds and conditions as `fact_open.fact: [main.binding]`."""
    told = (*answer.grounds, *answer.conditions)
    return {f"{each.code}.{name}": list(values) for each in told for name, values in each.facts.items()}


def disagreements(expect: Mapping[str, Any], answer: SaleAnswer, names: Names) -> dict[str, tuple[Any, Any]]:
    """What the case expects and the answer says, wherever the two differ."""
    found = {name: (wanted, says(name, wanted, answer, names)) for name, wanted in expect.items()}
    return {name: pair for name, pair in found.items() if pair[0] != pair[1]}


def says(name: str, wanted: Any, answer: SaleAnswer, names: Names) -> Any:
    if name in EXACT:
        return EXACT[name](answer)
    if name == "facts":
        there = facts(answer)
        return {key: there.get(key) for key in wanted}
    plain = name.removeprefix("no_")
    text = SAID[plain](answer, names)
    assert wanted, f"{name} is not empty"
    kept = [each for each in wanted if (each.lower() in text.lower()) is not name.startswith("no_")]
    return kept if kept == wanted else text
