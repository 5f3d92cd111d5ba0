"""What a use case answers from: the catalogue in force and the ledger."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import datetime
from typing import NamedTuple, Protocol

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.records import Records
from service.domain.terms import Serial
from service.store.engine import Database
from service.store.lock import database_time
from service.store.reader import Reader


class NoCatalogue(Exception):
    """Nothing is published yet, so there is nothing to answer from."""


def never() -> bool:
    """What is not the case, in a process that nobody tells otherwise."""
    return False


def nothing() -> None:
    """What is not known."""


class Gather(Protocol):
    """Brings what the ledger knows of some boards and units, as of now or of a moment in the past."""

    def __call__(
        self, boards: Collection[Serial], units: Collection[Serial], as_of: datetime | None
    ) -> Records:
        """The records; a serial of which nothing is recorded is simply not among them."""


class Shop(NamedTuple):
    """The means of every use case, made once for a process."""

    catalogue: Callable[[], CompiledCatalogue]
    """The revision in force. Raises NoCatalogue."""
    catalogue_at: Callable[[datetime | None], CompiledCatalogue]
    """The revision in force at a moment in the past, or now for None. Raises NoCatalogue."""
    gather: Gather
    reader: Reader
    """Reads that are no gather: `shop.reader.read(lambda connection: history(connection, subject))`."""
    database: Database
    """For `store.engine.writing`."""
    ready: Callable[[], bool]
    """Whether the store answers and a catalogue is published."""
    revision: Callable[[], str | None] = nothing
    """The revision that the process last answered from, without looking whether there is a newer one."""
    stopping: Callable[[], bool] = never
    """Whether the process has been told to stop; never, unless a server says so."""

    def now(self) -> datetime:
        """The time by the clock that all processes of a shop share, whichever host they are on."""
        return self.reader.read(database_time)
