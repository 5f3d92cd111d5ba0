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

from limits import RateLimitItem, RateLimitItemPerMinute
from limits.errors import StorageError
from limits.storage import Storage
from limits.strategies import FixedWindowRateLimiter

log = logging.getLogger("boardfit")

WINDOW = 60
"""Seconds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """A request that was counted."""

    rate: int
    left: int
    """Requests that are left in this window."""
    seconds: int
    """Until the window ends, from 1."""
    within: bool
    """Whether the request is let through."""

    def fields(self) -> tuple[tuple[str, str], ...]:
        """The header fields that tell it."""
        return (
            ("RateLimit-Policy", f'"default";q={self.rate};w={WINDOW}'),
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
        limit = _a_minute(rate)
        try:
            within = self._limiter.hit(limit, key_id)
            ends, left = self._limiter.get_window_stats(limit, key_id)
        except StorageError as fault:
            log.warning("a request was not counted: %s", type(fault.storage_error).__name__)
            return None
        seconds = min(WINDOW, max(1, ceil(ends - time.time())))
        return Counted(rate=rate, left=left, seconds=seconds, within=within)


@lru_cache(maxsize=256)
def _a_minute(rate: int) -> RateLimitItem:
    return RateLimitItemPerMinute(rate)
