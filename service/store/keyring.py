"""The keys in memory: every request is checked against them, the database is asked every few seconds."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Mapping
from threading import Lock
from typing import Generic, TypeVar

from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnectionFree

from service.store.keys import Key, State, all_keys, state
from service.store.reader import Reader

log = logging.getLogger("boardfit")

Held = TypeVar("Held")


class Keyring(Generic[Held]):
    """Every key by its id, as whatever a request needs of it.

    A key that is made or ends is noticed after `check_seconds` at the latest, by one small statement that
    tells whether anything changed. While the database is away, the keys in memory go on being good: who
    could ask a moment ago is told that the store is away, and not that the key is wrong.
    """

    def __init__(
        self,
        reader: Reader,
        held_as: Callable[[Key], Held],
        check_seconds: float,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._reader = reader
        self._held_as = held_as
        self._check_seconds = check_seconds
        self._clock = clock
        self._held: Mapping[str, Held] = {}
        self._state: State | None = None
        self._look_again = clock()
        self._looking = Lock()

    def get(self, key_id: str) -> Held | None:
        """What is held of a key; None where there is none of that id.

        Raises what the database raises only where it was never reached.
        """
        if self._clock() >= self._look_again:
            self._look_if_due()
        return self._held.get(key_id)

    def _look_if_due(self) -> None:
        # One looks; the others go on with what is held, unless nothing was ever held.
        if not self._looking.acquire(blocking=self._state is None):
            return
        try:
            if self._clock() >= self._look_again:
                self._look()
                self._look_again = self._clock() + self._check_seconds
        finally:
            self._looking.release()

    def _look(self) -> None:
        try:
            now = self._reader.read(state)
            if now != self._state:
                # A change between the two statements shows in the state next time.
                found = self._reader.read(all_keys)
                self._held = {key.id: self._held_as(key) for key in found}
                self._state = now
        except (DBAPIError, NoConnectionFree) as fault:
            if self._state is None:
                raise
            log.warning("keys are not looked up anew, those in memory stand: %s", type(fault).__name__)
