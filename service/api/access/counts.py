"""Counting requests in memory, each process for itself; `store.rates` counts for all on a database."""

from __future__ import annotations

import time
from threading import Lock

from limits.storage import Storage

_NEVER = (0, 0.0)


class MemoryCounts(Storage):
    """Counts of one process: an entry for each key and never more, so that there is nothing to tidy.

    Windows end by a clock that nobody sets: by the one on the wall, a key that has used up its rate would
    wait for as long as that was put back.

    The library's own storage in memory tidies in threads that it starts up to a hundred times a second, which
    costs several times what the counting does.
    """

    STORAGE_SCHEME = None

    def __init__(self) -> None:
        super().__init__(wrap_exceptions=True)
        self._counts: dict[str, tuple[int, float]] = {}
        self._lock = Lock()

    @property
    def base_exceptions(self) -> type[Exception] | tuple[type[Exception], ...]:
        return ()

    def incr(self, key: str, expiry: float, amount: int = 1) -> int:
        """Count, and begin a new window where the last one has ended. The count in the window."""
        now = time.monotonic()
        with self._lock:
            hits, ends = self._counts.get(key, _NEVER)
            hits, ends = (amount, now + expiry) if ends <= now else (hits + amount, ends)
            self._counts[key] = hits, ends
        return hits

    def get(self, key: str) -> int:
        """The count; 0 once its window has ended."""
        hits, ends = self._counts.get(key, _NEVER)
        return hits if ends > time.monotonic() else 0

    def get_expiry(self, key: str) -> float:
        """When the window ends, in Unix time; now for one that has ended."""
        ends = self._counts.get(key, _NEVER)[1]
        return time.time() + max(0.0, ends - time.monotonic())

    def check(self) -> bool:
        """Memory is always there."""
        return True

    def reset(self) -> int:
        """Forget all counts; how many there were."""
        gone, self._counts = len(self._counts), {}
        return gone

    def clear(self, key: str) -> None:
        """Forget one count."""
        self._counts.pop(key, None)
