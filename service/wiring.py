"""Puts the parts of a process together: engine, catalogue in force, shop, app."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Collection
from datetime import datetime
from functools import lru_cache
from threading import Lock

from flask import Flask
from sqlalchemy import Engine

from service.api.access.addresses import networks
from service.api.access.counts import MemoryCounts
from service.api.access.guard import Access
from service.api.access.rates import Rates
from service.api.app import create_app
from service.api.seeing.watching import Seeing
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.records import Records
from service.domain.terms import Serial
from service.papers import load_document
from service.settings import Settings
from service.store import migrate, revisions
from service.store.engine import open_engine, reading
from service.store.gather import gather
from service.store.keyring import Keyring
from service.store.rates import shared_counts
from service.store.reader import Reader
from service.usecases.admitting import admission
from service.usecases.shop import NoCatalogue, Shop, never

PAST_REVISIONS = 2
"""So many earlier revisions are kept compiled for questions about the past: a large one takes 30 MB."""

_REMEMBERING = type(lru_cache(maxsize=1)(str))


class Catalogues:
    """The compiled catalogue in force, looked at again every few seconds.

    A process looks for a newer revision by its number alone, so that the look costs next to nothing
    and a new catalogue reaches every process without a restart.
    """

    def __init__(
        self, engine: Engine, check_seconds: float, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._engine = engine
        self._check_seconds = check_seconds
        self._clock = clock
        self._held: tuple[int, CompiledCatalogue] | None = None
        self._look_again = clock()
        self._loading = Lock()
        self._past = lru_cache(maxsize=PAST_REVISIONS)(_compiled)

    def at(self, moment: datetime | None) -> CompiledCatalogue:
        """The revision in force at a moment; None is now. Raises NoCatalogue."""
        if moment is None:
            return self._current()
        with reading(self._engine) as connection:
            found = revisions.at(connection, moment)
        if found is None:
            raise NoCatalogue
        return self._past(found.document)

    def held_revision(self) -> str | None:
        """The revision that is held, be there a newer one or not."""
        held = self._held
        return None if held is None else held[1].catalogue.revision

    def _current(self) -> CompiledCatalogue:
        if self._held is None or self._clock() >= self._look_again:
            self._look_if_due()
        if self._held is None:
            raise NoCatalogue
        return self._held[1]

    def _look_if_due(self) -> None:
        # One looks; the others go on with what is held, or a database that does not answer would hold up all.
        if not self._loading.acquire(blocking=self._held is None):
            return
        try:
            if self._held is None or self._clock() >= self._look_again:
                self._look()
        finally:
            self._loading.release()

    def _look(self) -> None:
        with reading(self._engine) as connection:
            number = revisions.current_number(connection)
            if number and (self._held is None or self._held[0] != number):
                found = revisions.current(connection)
                if found is not None:
                    before, self._held = self._held, (found.number, _compiled(found.document))
                    if before is not None:
                        _forget()
        self._look_again = self._clock() + self._check_seconds


def _forget() -> None:
    """Drop whatever any module of ours remembers: it was worked out from an earlier catalogue.

    What is kept for equal facts holds on to their catalogue, so that memory would grow with each revision.
    Who is in the middle of a question makes again what he needs, as when it falls out by itself.
    """
    ours = [module for name, module in list(sys.modules.items()) if name.partition(".")[0] == "service"]
    for module in ours:
        for value in list(vars(module).values()):
            if type(value) is _REMEMBERING:
                value.cache_clear()


def _compiled(document: str) -> CompiledCatalogue:
    return compile_catalogue(load_document(document))


def open_shop(
    engine: Engine, settings: Settings, *, serving: bool = True, stopping: Callable[[], bool] = never
) -> Shop:
    """The shop of a process. Nothing is connected before the first question.

    While `serving`, each thread keeps its connection for the life of the process; a command that asks
    once gives it back.
    """
    reader = Reader(engine)

    def kept(boards: Collection[Serial], units: Collection[Serial], as_of: datetime | None) -> Records:
        return reader.read(lambda connection: gather(connection, boards, units, as_of))

    def given_back(boards: Collection[Serial], units: Collection[Serial], as_of: datetime | None) -> Records:
        with reading(engine) as connection:
            return gather(connection, boards, units, as_of)

    catalogues = Catalogues(engine, settings.catalogue_check_seconds)

    def ready() -> bool:
        try:
            catalogues.at(None)
        except NoCatalogue:
            return False
        return migrate.is_at_head(engine)

    return Shop(
        catalogue=lambda: catalogues.at(None),
        catalogue_at=catalogues.at,
        gather=kept if serving else given_back,
        reader=reader,
        database=engine,
        ready=ready,
        revision=catalogues.held_revision,
        stopping=stopping,
    )


def open_database(settings: Settings) -> Engine:
    """The engine of the settings' database, its tables brought to this version."""
    engine = open_engine(settings.database_url, pool_size=settings.threads)
    migrate.to_head(engine)
    return engine


def open_access(engine: Engine, settings: Settings, reader: Reader) -> Access:
    """Who is let in by a process: whoever has a key in the database, as often as the key says."""
    shared = settings.rate_store == "database"
    counts = shared_counts(engine, reader, settings.threads) if shared else MemoryCounts()
    return Access(
        watchers=networks(settings.watching_networks),
        keyring=Keyring(reader, admission, settings.key_check_seconds),
        rates=Rates(counts),
        origins=settings.allowed_origins,
    )


def app_on(
    engine: Engine,
    settings: Settings,
    *,
    serving: bool = True,
    stopping: Callable[[], bool] = never,
    seeing: Seeing | None = None,
) -> Flask:
    """The app of one process, on a database that is already at this version.

    What `seeing` does not say is counted for this process alone, and not logged.
    """
    shop = open_shop(engine, settings, serving=serving, stopping=stopping)
    access = open_access(engine, settings, shop.reader)
    return create_app(shop, access=access, max_body_bytes=settings.max_body_bytes, seeing=seeing)
