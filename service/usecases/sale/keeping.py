"""An answer of the till, years later: exactly as it was given, and what became of it."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.ledger.event import Event, Subject, SubjectKind
from service.domain.sale.past import sold_by
from service.store.engine import Transaction
from service.store.ledger import history
from service.store.sale_checks import KeptCheck, kept_check
from service.usecases.caller import Caller, Scope, require
from service.usecases.mending import NotFound
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A kept answer, and the sale that completed it, if one did."""

    check: KeptCheck
    sale: Event | None


def kept(shop: Shop, caller: Caller, identifier: str) -> Kept:
    """The answer of that id. Raises MissingScope, and NotFound also for one that is somebody else's."""
    require(caller, Scope.SELL)
    found = shop.reader.read(lambda connection: own_check(connection, caller, identifier))
    board = Subject(SubjectKind.BOARD, found.board)
    events = shop.reader.read(lambda connection: history(connection, board))
    return Kept(check=found, sale=sold_by(events, found.id))


def own_check(connection: Transaction, caller: Caller, identifier: str) -> KeptCheck:
    """The answer of that id, if the caller may see it. Raises NotFound."""
    found = kept_check(connection, identifier)
    if found is None or (found.owner != caller.owner and Scope.ADMINISTER not in caller.scopes):
        raise NotFound("sale_check", identifier, "use the id that the answer came with")
    return found
