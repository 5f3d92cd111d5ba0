"""How often a key may be used: counted in fixed windows of a minute, and told in every answer.

Source of the fields: the IETF draft "RateLimit header fields for HTTP" (structured fields, one policy named
`default`). A window begins with the first request in it.
"""

from __future__ import annotations

import logging
import time
from functools import lru_cache
from math import ceil
from typing import NamedTuple

from limits import RateLimitItemPerMinute
from limits.errors import StorageError
from limits.storage import Storage

log = logging.getLogger("boardfit")

WINDOW = 60
"""Seconds."""


class KeyLimit(NamedTuple):
    """What one key may do, and what the storage and the header fields call it."""

    amount: int
    name: str
    policy: str


@lru_cache(maxsize=1_024)
def _limit(key_id: str, rate: int) -> KeyLimit:
    return KeyLimit(rate, RateLimitItemPerMinute(rate).key_for(key_id), f'"default";q={rate};w={WINDOW}')


class Counted(NamedTuple):
    """A request that was counted."""

    limit: KeyLimit
    left: int
    """Requests that are left in this window."""
    seconds: int
    """Until the window ends, from 1."""
    within: bool
    """Whether the request is let through."""

    def fields(self) -> tuple[tuple[str, str], ...]:
        """The header fields that tell it."""
        return (
            ("RateLimit-Policy", self.limit.policy),
            ("RateLimit", f'"default";r={self.left};t={self.seconds}'),
        )


class Rates:
    """Counts the requests of each key."""

    def __init__(self, storage: Storage) -> None:
        self._storage = storage

    def count(self, key_id: str, rate: int) -> Counted | None:
        """Count one request; None where it could not be counted.

        Such a request is let through: a till that stands still for want of a counter costs the shop more than
        a minute in which nobody counts.
        """
        limit = _limit(key_id, rate)
        try:
            hits = self._storage.incr(limit.name, WINDOW)
            ends = self._storage.get_expiry(limit.name)
        except StorageError as fault:
            log.warning("a request was not counted: %s", type(fault.storage_error).__name__)
            return None
        seconds = min(WINDOW, max(1, ceil(ends - time.time())))
        return Counted(limit, max(0, rate - hits), seconds, within=hits <= rate)
