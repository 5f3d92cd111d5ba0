"""Who asks: what they may do, what they may see, and the language they read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from service.domain.terms import Means


class Scope(StrEnum):
    """What a key may be used for. Each is asked for by name; none implies another."""

    ASK = "ask"
    STOCK = "stock"
    SELL = "sell"
    RECORD = "record"
    ADMINISTER = "administer"


class View(StrEnum):
    """How much an answer is made of."""

    STAFF = "staff"
    """Everything: the catalogue, the ledger, the caller's own facts."""
    PUBLIC = "public"
    """The catalogue, what serials decode to, and the caller's own facts; the ledger is never read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """The one who asks, for the length of one question or write."""

    scopes: frozenset[Scope] = frozenset(Scope)
    view: View = View.STAFF
    owner: str = "here"
    """Whose key it is. What one owner stored (repeats, sale checks) is nobody else's."""
    language: str = "en"
    """A language of `service.words`, already settled from what the caller accepts."""


class MissingScope(Exception):
    """The caller's key is good, and not for this."""

    def __init__(self, scope: Scope) -> None:
        super().__init__(scope.value)
        self.scope = scope


def require(caller: Caller, scope: Scope) -> None:
    """Raises MissingScope where the caller's key is not good for something."""
    if scope not in caller.scopes:
        raise MissingScope(scope)


def means_of(caller: Caller, claimed: Means) -> Means:
    """What the caller has at hand: the public, whatever it claims, is told what is needed and by whom, never
    the bench's steps."""
    return Means.CUSTOMER if caller.view is View.PUBLIC else claimed


STAFF = Caller()
"""A caller at the counter with every scope: the command line."""
NOBODY = Caller(scopes=frozenset(), view=View.PUBLIC, owner="")
"""A caller without a key: where none is needed."""
