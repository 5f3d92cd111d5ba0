"""Every write is done once, however often it is asked for (IETF draft, Idempotency-Key header field).

A use case that stores something does its work inside `once`:

    stored = once(shop, caller, repeat, lambda connection: recorded(connection, …))
    stored.data       # the answer, as plain JSON values; the first one, if this was a repetition
    stored.replayed   # whether it was

`repeat` is made at the edge from the request (`api.edge.repeating`); the view of an operation with
`stores=True` gets it as its last positional argument.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from service.store.engine import Transaction, writing
from service.store.lock import take_write_lock
from service.store.repeats import FirstAnswer, RepeatKey, keep_answer, kept, sweep
from service.usecases.caller import Caller
from service.usecases.shop import Shop

KEPT_FOR = timedelta(hours=48)
"""An answer is given again for at least this long; later writes sweep it away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """What makes a request the same as an earlier one."""

    method: str
    path: str
    key: str
    """Chosen by the caller, a new one for each thing to be done."""
    fingerprint: str
    """A hash of what was sent: the same key with other content is a mistake of the caller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stored:
    """The answer to a write."""

    data: Mapping[str, Any]
    replayed: bool


class KeyReused(Exception):
    """The key came before, with other content."""


def once(
    shop: Shop, caller: Caller, repeat: Repeat, work: Callable[[Transaction], Mapping[str, Any]]
) -> Stored:
    """The answer of `work`, which is done at most once for a key of one owner, method and path.

    `work` is handed a connection of `engine.writing` that has the ledger's write lock, and gives plain
    JSON values. What it writes and its answer are one transaction: both are there, or neither. A twin
    that runs at the same time waits for the lock and is then given the first answer. What `work` raises
    is raised, nothing is stored, and the key is free for another try.

    Raises KeyReused.
    """
    key = RepeatKey(caller.owner, repeat.method, repeat.path, repeat.key)
    with writing(shop.database) as connection:
        take_write_lock(connection)
        first, since, now = kept(connection, key)
        if first is not None:
            if first.fingerprint != repeat.fingerprint:
                raise KeyReused
            return Stored(data=first.answer, replayed=True)
        data = work(connection)
        keep_answer(connection, key, FirstAnswer(repeat.fingerprint, data), now)
        if since is not None and since < now - KEPT_FOR:
            sweep(connection, before=now - KEPT_FOR)
        return Stored(data=data, replayed=False)
