"""Recognising a key: who holds it, and whether it is good."""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from enum import StrEnum

from service.store.keyring import Keyring
from service.store.keys import Key
from service.usecases.caller import Caller, Scope, View
from service.usecases.key_text import Mistyped, read_key


class Why(StrEnum):
    """Why a key is not accepted."""

    MISTYPED = "mistyped"
    UNKNOWN = "unknown"
    EXPIRED = "expired"
    REVOKED = "revoked"


class KeyRefused(Exception):
    """The key is not good."""

    def __init__(self, why: Why) -> None:
        super().__init__(why.value)
        self.why = why


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """A key as a request needs it: what it is compared with, and who its holder is."""

    key: Key
    caller: Caller
    ends: float
    """Unix time."""


def admission(key: Key) -> Admission:
    """Worked out once for each key, not for each request.

    A scope that only a later version knows is left out, so that two versions can run beside each other.
    """
    caller = Caller(
        scopes=frozenset(scope for scope in Scope if scope in key.scopes),
        view=View.PUBLIC if key.public else View.STAFF,
        owner=key.owner,
    )
    ended = key.ended_at()
    return Admission(key=key, caller=caller, ends=float("inf") if ended is None else ended.timestamp())


def admit(keyring: Keyring[Admission], written: str, now: float) -> Admission:
    """Who holds this key. `now` is Unix time. Raises KeyRefused.

    An unknown id takes the same comparison as a wrong secret, so that time does not tell which ids there are;
    how a key ended is told only to who has its secret.
    """
    try:
        told = read_key(written)
    except Mistyped:
        raise KeyRefused(Why.MISTYPED) from None
    found = keyring.get(told.id)
    digest = _NOBODYS if found is None else found.key.digest
    if not hmac.compare_digest(told.digest(), digest) or found is None:
        raise KeyRefused(Why.UNKNOWN)
    if now >= found.ends:
        raise KeyRefused(_how_it_ended(found))
    return found


_NOBODYS = bytes(32)


def _how_it_ended(found: Admission) -> Why:
    revoked = found.key.revoked_at
    return Why.REVOKED if revoked is not None and revoked.timestamp() <= found.ends else Why.EXPIRED
