"""Writers of one process take turns, first come, first served.

A plain lock lets whoever asks at the right moment go first, so that under load one writer may wait
past its time although the others are quick.
"""

from __future__ import annotations

from collections import deque
from threading import Lock


class Turns:
    """A lock that is handed to the one who has waited longest."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._taken = False
        self._waiting: deque[Lock] = deque()

    def acquire(self, timeout: float) -> bool:
        """Wait for one's turn, at most so many seconds; false where it did not come."""
        with self._guard:
            if not self._taken:
                self._taken = True
                return True
            mine = Lock()
            mine.acquire()
            self._waiting.append(mine)
        if mine.acquire(timeout=timeout):
            return True
        with self._guard:
            if mine in self._waiting:
                self._waiting.remove(mine)
                return False
        # The turn was handed over at the very moment when the time was up.
        return True

    def release(self) -> None:
        """Hand the turn on, or leave it free."""
        with self._guard:
            if self._waiting:
                self._waiting.popleft().release()
            else:
                self._taken = False
