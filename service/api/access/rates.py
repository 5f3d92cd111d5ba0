"""How often a key may be used: counted in fixed windows of a minute, and told in every answer.

Source of the fields: the IETF draft "RateLimit header fields for HTTP" (structured fields, one policy named
`default`). A window begins with the first request in it.
"""

from __future__ import annotations

import logging
import time
from dataclasses import dataclass
from functools import lru_cache
from math import ceil

from limits import RateLimitItemPerMinute
from limits.errors import StorageError
from limits.storage import Storage
from limits.strategies import FixedWindowRateLimiter

log = logging.getLogger("boardfit")

WINDOW = 60
"""Seconds."""


class KeyLimit(RateLimitItemPerMinute):
    """What one key may do. What the library and the header fields call it is put together once."""

    __slots__ = ("name", "policy")

    def __init__(self, key_id: str, rate: int) -> None:
        super().__init__(rate)
        self.name = super().key_for(key_id)
        self.policy = f'"default";q={rate};w={WINDOW}'

    def key_for(self, *identifiers: object) -> str:  # noqa: ARG002 - the base class's signature
        """The name of the count: that of the key alone."""
        return self.name


@dataclass(frozen=True, slots=True)
class Counted:
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
        self._limiter = FixedWindowRateLimiter(storage)

    def count(self, key_id: str, rate: int) -> Counted | None:
        """Count one request; None where it could not be counted.

        Such a request is let through: a till that stands still for want of a counter costs the shop more than
        a minute in which nobody counts.
        """
        limit = _limit(key_id, rate)
        try:
            within = self._limiter.hit(limit)
            ends, left = self._limiter.get_window_stats(limit)
        except StorageError as fault:
            log.warning("a request was not counted: %s", type(fault.storage_error).__name__)
            return None
        seconds = min(WINDOW, max(1, ceil(ends - time.time())))
        return Counted(limit, left, seconds, within)


_limit = lru_cache(maxsize=1024)(KeyLimit)
