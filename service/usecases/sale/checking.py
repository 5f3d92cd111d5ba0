"""A question at the till: decided, and kept as it was answered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from secrets import token_hex
from typing import Any

from service.domain.facts.question import ImpossibleQuestion
from service.domain.ledger.event import Draft, EventKind
from service.domain.sale.check import SaleAnswer
from service.domain.sale.question import SaleQuestion
from service.store.append import append
from service.store.engine import Transaction
from service.store.sale_checks import KeptCheck, keep_check
from service.usecases.caller import Caller, Scope, require
from service.usecases.repeats import Repeat, Stored, once
from service.usecases.sale.deciding import decided_as_json
from service.usecases.sale.looking import Looked, catalogue_in_force
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question, and the document that it was sent as."""

    question: SaleQuestion
    document: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """An answer, with the name that it is kept under."""

    id: str
    made_at: datetime
    answer: SaleAnswer

    @property
    def completable(self) -> bool:
        """Whether the board may be sold on this answer: it is about now, and the board is ours."""
        asked = self.answer.found.question
        return self.answer.sells and not asked.brought and asked.as_of is None


Shown = Callable[[Check], Mapping[str, Any]]
"""Makes plain JSON values of an answer: what is kept, and given again years later."""


def check(shop: Shop, caller: Caller, repeat: Repeat, asked: Asked, shown: Shown) -> Stored:
    """Answer a question at the till, once for each key of `repeat`, and keep the answer.

    Raises MissingScope, ImpossibleQuestion, Refused for a serial that was misread, NoCatalogue, KeyReused.
    """
    require(caller, Scope.SELL)
    as_of = asked.question.as_of
    if as_of is not None and as_of > shop.now():
        raise ImpossibleQuestion("as_of_in_future", "/as_of")
    held = shop.catalogue_at(as_of)

    def work(connection: Transaction) -> Mapping[str, Any]:
        compiled = held if as_of is not None else catalogue_in_force(connection, held)
        found = Looked(connection, compiled, asked.question)
        made = Check(id=f"sc-{token_hex(12)}", made_at=found.now, answer=found.decided())
        answer = shown(made)
        _keep(connection, caller, asked, found, made, answer)
        return answer

    return once(shop, caller, repeat, work)


def _keep(
    connection: Transaction,
    caller: Caller,
    asked: Asked,
    found: Looked,
    made: Check,
    answer: Mapping[str, Any],
) -> None:
    mentioned = {"unit": found.unit} if found.unit else {}
    # A serial that nobody has recorded may be misread, and asking makes no board of it.
    data = {"board" if found.told_of else "label": found.board, "check": made.id, **mentioned}
    draft = Draft(kind=EventKind.SALE_CHECKED, occurred_at=made.made_at, data=data)
    (event,) = append(connection, [draft])
    keep_check(
        connection,
        KeptCheck(
            id=made.id,
            owner=caller.owner,
            made_at=made.made_at,
            seq=event.seq,
            as_of=asked.question.as_of,
            board=found.board,
            unit=found.unit,
            decision=made.answer.decision.value,
            revision=made.answer.found.compiled.catalogue.revision,
            ledger_version=found.records.ledger_version,
            question=asked.document,
            answer=answer,
            read_set={**found.read_set(), "decided": decided_as_json(made.answer)},
        ),
    )
