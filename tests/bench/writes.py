"""What writing costs, with everything on the disk before it is acknowledged."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

from flask import Flask
from sqlalchemy import Engine

from service.api.calling import EXTENSION
from service.demo.making import fill, make_or_reuse
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import compile_catalogue
from service.domain.ledger.event import Draft
from service.domain.recording.legality import judge
from service.domain.serials import make
from service.domain.terms import SchemeId
from service.papers import read_catalogue
from service.settings import Settings
from service.store.append import append
from service.store.engine import open_engine, writing
from service.store.migrate import to_head
from tests.bench.worlds import post, served
from tests.support.postgres import running_postgres

SECONDS = 4.0
"""How long each figure is taken for."""
WRITERS = 8
JOB = 8
"""Events of a job, where several are told in one call."""


def writes() -> Iterator[str]:
    """Events on the disk before they are acknowledged, over HTTP in process and by the store alone."""
    yield f"the disk itself: {1 / _disk():,.0f} fsync/s"
    for name, database in DATABASES.items():
        with database() as url:
            settings = Settings(database_url=url, catalogue_check_seconds=60, key_check_seconds=60)
            app = served(settings)
            engine = app.extensions[EXTENSION].database
            alone, together, jobs = _http(app, 1), _http(app, WRITERS), _http(app, 1, events=JOB)
            yield f"{name}: over HTTP {alone:,.0f} events/s by one client, {together:,.0f} by {WRITERS}"
            yield f"{name}: over HTTP {jobs:,.0f} events/s in jobs of {JOB}"
            yield f"{name}: the store alone {_store(engine):,.0f} events/s, judged"
            app.extensions[EXTENSION].reader.close()
            engine.dispose()


def _disk(times: int = 50) -> float:
    """Seconds for one fsync of a little more of a file: no transaction is quicker."""
    with tempfile.NamedTemporaryFile() as file:
        start = time.perf_counter()
        for _ in range(times):
            file.write(b"x" * 4096)
            file.flush()
            os.fsync(file.fileno())
        return (time.perf_counter() - start) / times


@contextmanager
def _sqlite() -> Iterator[str]:
    with tempfile.TemporaryDirectory() as folder:
        yield f"sqlite:///{make_or_reuse(Path(folder) / 'writes.db')}"


@contextmanager
def _postgresql() -> Iterator[str]:
    with running_postgres(durable=True) as url:
        engine = open_engine(url)
        to_head(engine)
        fill(engine)
        engine.dispose()
        yield url


DATABASES: Mapping[str, Callable[[], Any]] = {"SQLite": _sqlite, "PostgreSQL": _postgresql}

_CATALOGUE = read_catalogue(demo_catalogue())
_SCHEME = next(scheme for scheme in _CATALOGUE.schemes if scheme.id == SchemeId("tillmoor-board"))
_NUMBERS = count()


def _new_board() -> dict[str, str]:
    """A blank main board that nobody saw before."""
    batch, running = divmod(next(_NUMBERS), 10_000)
    fields: dict[str, Any] = {"product": "M41", "year": 2014, "week": batch + 1, "number": running}
    return {"board": make(_SCHEME, fields), "part": "MN-4100", "binding": "blank"}


def _http(app: Flask, clients: int, events: int = 1) -> float:
    """Events a second over HTTP, by so many clients at once, so many events a call."""

    def one() -> int:
        done, end = 0, time.perf_counter() + SECONDS
        while time.perf_counter() < end:
            boards = [_new_board() for _ in range(events)]
            body = {"events": [{"kind": "received", "data": board} for board in boards]}
            post(app, "/v1/events", body, {"Idempotency-Key": f"bench-{boards[0]['board']}"})()
            done += events
        app.extensions[EXTENSION].reader.close()
        return done

    start = time.perf_counter()
    with ThreadPoolExecutor(clients) as threads:
        done = sum(each.result() for each in [threads.submit(one) for _ in range(clients)])
    return done / (time.perf_counter() - start)


def _store(engine: Engine) -> float:
    """Events a second through the store alone, a transaction for each."""
    law = partial(judge, compile_catalogue(_CATALOGUE))
    done, start = 0, time.perf_counter()
    while time.perf_counter() < start + SECONDS:
        draft = Draft(kind="received", occurred_at=datetime(2026, 1, 5, tzinfo=UTC), data=_new_board())
        with writing(engine) as connection:
            append(connection, [draft], judge=law)
        done += 1
    return done / (time.perf_counter() - start)
