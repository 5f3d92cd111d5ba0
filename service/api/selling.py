"""From what was sent to the till to the question that is put."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.api.asking import stated_board, stated_unit
from service.api.schemas.sale import SaleCheckQuestion, document
from service.domain.sale.question import SaleQuestion
from service.domain.terms import MarketId
from service.usecases.sale import Asked, Completion

Sent = Mapping[str, Any]


def asked(sent: Sent) -> Asked:
    """The question of a document that passed `SaleCheckQuestion`, with that document."""
    return Asked(question=question(sent), document=document(sent))


def question(sent: Sent) -> SaleQuestion:
    """The question alone."""
    market = sent.get("market")
    return SaleQuestion(
        board=stated_board(sent["board"]),
        unit=stated_unit(sent.get("unit", {})),
        market=MarketId(market) if market is not None else None,
        brought=sent["brought"],
        asked=frozenset(sent.get("asked", ())),
        as_of=sent.get("as_of"),
    )


def read_again(kept: Sent) -> SaleQuestion:
    """The question of a document that was kept."""
    return question(SaleCheckQuestion().load(kept))


def completion(check: str, sent: Sent) -> Completion:
    """The completion of a check, from a document that passed `SaleCompletion`."""
    return Completion(check=check, accepted=sent.get("accepted", ()), customer=sent.get("customer"))
