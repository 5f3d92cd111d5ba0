"""What a completion compares: the decision, the conditions and the price, as they are kept with a check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.domain.sale.check import SaleAnswer

Decided = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing that is not any more as it was answered."""

    what: str
    """`decision`, `price`, or the code of a condition."""
    was: str | None
    now: str | None
    """None: there is none."""


def decided_as_json(answer: SaleAnswer) -> Decided:
    """What was decided, in the form in which it is kept."""
    return {
        "decision": answer.decision.value,
        "conditions": {each.code: _facts_text(each.facts) for each in answer.conditions},
        "to_pay": str(answer.quote.to_pay) if answer.quote else None,
        "valid_until": answer.quote.valid_until.isoformat() if answer.quote else None,
    }


def changes(was: Decided, now: Decided, day: date) -> Iterator[Change]:
    """What differs. A price is honoured until the last day of its validity."""
    if was["decision"] != now["decision"]:
        yield Change(what="decision", was=was["decision"], now=now["decision"])
    before, after = was["conditions"], now["conditions"]
    for code in sorted({*before, *after}):
        if before.get(code) != after.get(code):
            yield Change(what=code, was=before.get(code), now=after.get(code))
    honoured = was["valid_until"] is not None and day <= date.fromisoformat(was["valid_until"])
    if not honoured and was["to_pay"] != now["to_pay"]:
        yield Change(what="price", was=was["to_pay"], now=now["to_pay"])


def _facts_text(facts: Mapping[str, tuple[str, ...]]) -> str:
    """The facts of a condition as one text, to be compared."""
    return "; ".join(f"{name}: {', '.join(values)}" for name, values in sorted(facts.items()))
