"""Selling a board on a kept answer: decided again under the ledger's lock, in one step with the sale."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.ledger.event import Draft, Event, EventKind
from service.domain.recording.legality import judge
from service.domain.sale.check import SaleAnswer
from service.domain.sale.past import sold_by
from service.domain.sale.question import SaleQuestion
from service.store.append import append
from service.store.engine import Transaction
from service.store.sale_checks import KeptCheck
from service.usecases.caller import Caller, Scope, require
from service.usecases.mending import Fault, Refused
from service.usecases.repeats import Repeat, Stored, once
from service.usecases.sale.deciding import Change, changes, decided_as_json
from service.usecases.sale.keeping import Kept, own_check
from service.usecases.sale.looking import Looked, catalogue_in_force
from service.usecases.shop import Shop

SELLING = ("sell", "sell_with_conditions")


@dataclass(frozen=True, slots=True, kw_only=True)
class Completion:
    """Going through with a sale."""

    check: str
    accepted: Collection[str] = ()
    """Codes of the conditions that the customer has agreed to."""
    customer: str | None = None
    """An opaque reference of the caller's own; no personal data."""


class NotForSale(Exception):
    """The answer is not one to sell on. `why` is `decision`, `past` or `brought`."""

    def __init__(self, why: str, decision: str) -> None:
        super().__init__(why)
        self.why = why
        self.decision = decision


class SoldMeanwhile(Exception):
    """The board is sold. `by_this_check`: this very answer was gone through with already."""

    def __init__(self, *, by_this_check: bool) -> None:
        super().__init__("sold meanwhile")
        self.by_this_check = by_this_check


class CheckOutdated(Exception):
    """What is true by now leads to another answer."""

    def __init__(self, changed: Sequence[Change], now: SaleAnswer) -> None:
        super().__init__(", ".join(change.what for change in changed))
        self.changed = tuple(changed)
        self.now = now


Read = Callable[[Mapping[str, Any]], SaleQuestion]
"""Makes the question of the document that it was kept as."""
ReceiptShown = Callable[[Kept], Mapping[str, Any]]


def complete(
    shop: Shop, caller: Caller, repeat: Repeat, asked: Completion, read: Read, shown: ReceiptShown
) -> Stored:
    """Sell the board of a kept answer, once.

    Raises MissingScope, NotFound, NotForSale, SoldMeanwhile, CheckOutdated, and Refused where a condition
    is not accepted.
    """
    require(caller, Scope.SELL)
    held = shop.catalogue()

    def work(connection: Transaction) -> Mapping[str, Any]:
        check = own_check(connection, caller, asked.check)
        question = read(check.question)
        _refuse_unsellable(check, question)
        compiled = catalogue_in_force(connection, held)
        found = Looked(connection, compiled, question)
        _refuse_sold(check, found)
        _refuse_outdated(check, found.decided())
        _refuse_unaccepted(check, asked.accepted)
        return shown(Kept(check=check, sale=_sell(connection, compiled, check, asked, found.now)))

    return once(shop, caller, repeat, work)


def _refuse_unsellable(check: KeptCheck, question: SaleQuestion) -> None:
    for why, is_so in (
        ("past", check.as_of is not None),
        ("brought", question.brought),
        ("decision", check.decision not in SELLING),
    ):
        if is_so:
            raise NotForSale(why, check.decision)


def _refuse_sold(check: KeptCheck, found: Looked) -> None:
    mine = sold_by(found.events, check.id) is not None
    if mine or (found.record is not None and found.record.sold):
        raise SoldMeanwhile(by_this_check=mine)


def _refuse_outdated(check: KeptCheck, now: SaleAnswer) -> None:
    day = now.found.circumstances.day
    changed = list(changes(check.read_set["decided"], decided_as_json(now), day))
    if changed:
        raise CheckOutdated(changed, now)


def _refuse_unaccepted(check: KeptCheck, accepted: Collection[str]) -> None:
    conditions = set(check.read_set["decided"]["conditions"])
    missing = sorted(conditions - set(accepted))
    faults = [
        Fault(("accepted",), f"lacks {code}: tell the customer, and name it once it is agreed to")
        for code in missing
    ]
    faults += [
        Fault(("accepted", at), "is no condition of this check: leave it out")
        for at, code in enumerate(accepted)
        if code not in conditions
    ]
    if faults:
        raise Refused(faults)


def _sell(
    connection: Transaction, compiled: CompiledCatalogue, check: KeptCheck, asked: Completion, now: datetime
) -> Event:
    more = {"unit": check.unit, "customer": asked.customer}
    data = {"board": check.board, "check": check.id, **{k: v for k, v in more.items() if v is not None}}
    draft = Draft(kind=EventKind.SOLD, occurred_at=now, data=data)
    (event,) = append(connection, [draft], judge=partial(judge, compiled))
    return event
