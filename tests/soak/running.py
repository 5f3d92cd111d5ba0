"""One run: a shop's database, a real server on it, the clients, and a look at the processes now and then."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from threading import Event
from types import MappingProxyType

from sqlalchemy import Engine, NullPool, create_engine, text

from service.cli.progress import Progress
from service.demo.world import demo_catalogue
from service.papers import canonical_document, read_catalogue
from service.settings import Settings
from service.store import revisions
from service.store.engine import writing
from service.usecases.caller import Scope
from tests.endurance import books
from tests.endurance.serving import WORKERS, Served, a_shop, served
from tests.soak import ledger
from tests.soak.clients import Client, Keys
from tests.soak.figures import quantile
from tests.soak.processes import Moment, Sample, moment, sample
from tests.soak.seen import Seen
from tests.support.keys import SUITE, a_key
from tests.support.postgres import postgres

LEAST_PAUSE, MOST_PAUSE = 0.2, 10.0
"""Seconds between two looks at the processes."""
LOOKS = 360
LIMITED = 30
"""Requests a minute for the key that is sent too often."""
REVISIONS = 24
"""So many new catalogues are published in a long run, at equal distances."""
REVISION_SECONDS = 20
"""The least distance: after each of them a worker works out anew what it knew of the one before."""
OURS = text("SELECT count(*) FROM pg_stat_activity WHERE application_name = 'boardfit'")


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What is asked for."""

    database: str = "sqlite"
    seconds: float = 3600.0
    rate: float = 40.0
    """Requests a second of all clients together."""
    clients: int = 12


@dataclass(slots=True)
class Shop:
    """A served shop."""

    engine: Engine
    server: Served
    keys: Keys
    url: str

    def connections(self) -> int | None:
        """How many the service has to PostgreSQL; None on SQLite."""
        if not self.url.startswith("postgresql"):
            return None
        engine = create_engine(self.url, poolclass=NullPool)
        with engine.connect() as connection:
            return int(connection.execute(OURS).scalar_one())


@dataclass(slots=True)
class Outcome:
    """What was seen."""

    seen: Seen
    seconds: float = 0.0
    samples: list[Sample] = field(default_factory=list)
    moments: list[Moment] = field(default_factory=list)
    workers: int = WORKERS
    events: int = 0
    repeated: int = 0
    revisions: int = 0
    """Catalogues that were published meanwhile."""
    behind: float = 0.0
    """The longest that a client sent a request after its time."""
    ledger: list[str] = field(default_factory=list)
    """What is wrong with the ledger at the end."""
    log: str = ""
    """What the server said, if anything."""


@dataclass(frozen=True, slots=True)
class Database:
    """An empty database that keeps what it acknowledges."""

    url: str
    pid: int | None = None
    """Of PostgreSQL's first process."""


@contextmanager
def database(kind: str, folder: Path) -> Iterator[Database]:
    """One of the kind `sqlite` or `postgresql`."""
    if kind == "sqlite":
        yield Database(f"sqlite:///{folder / 'shop.db'}")
        return
    # As a server is in a shop, which tidies up after itself.
    with postgres(durable=True, settings={"autovacuum": "on", "shared_buffers": "128MB"}) as server:
        yield Database(server.url, server.pid)


@contextmanager
def a_served_shop(
    url: str, folder: Path, environment: Mapping[str, str] = MappingProxyType({})
) -> Iterator[Shop]:
    """The demo's shop in a database, and a server on it."""
    with a_shop(url) as engine:
        keys = {
            "staff": SUITE.written(),
            "public": a_key(engine, Scope.ASK, owner="chat", public=True),
            "limited": a_key(engine, Scope.ASK, owner="script", rate=LIMITED),
        }
        engine.dispose()
        with served(url, folder, environment=environment) as server:
            yield Shop(engine, server, keys, url)


def soak(options: Options, progress: Progress, stopped: Callable[[], bool]) -> Outcome:
    """Run for the time that is asked for, or until somebody stops it; the ledger is checked in any case."""
    with (
        tempfile.TemporaryDirectory(prefix="boardfit-soak-") as name,
        database(options.database, Path(name)) as empty,
        a_served_shop(empty.url, Path(name)) as shop,
    ):
        start = books.last(shop.engine)
        outcome, clients, reader = under_load(shop, options, start, progress, stopped)
        progress.say("the clients have stopped; the ledger is checked")
        for client in clients:
            client.settle()
        reader.read_out()
        ledger.repeat_some(clients)
        for client in (*clients, reader):
            client.close()
        outcome.ledger = ledger.faults(shop.engine, start, clients, reader)
        outcome.events = books.last(shop.engine) - start
        outcome.repeated = sum(client.book.repeated for client in clients)
        outcome.log = shop.server.said()
    return outcome


def under_load(
    shop: Shop, options: Options, start: int, progress: Progress, stopped: Callable[[], bool]
) -> tuple[Outcome, list[Client], Client]:
    """The load itself; the reader of the feed comes last."""
    stop, outcome = Event(), Outcome(Seen())
    each = options.rate / (options.clients + 1)

    def client(number: int) -> Client:
        return Client(shop.server.port, number, outcome.seen, stop, shop.keys, rate=each)

    clients, reader = [client(number) for number in range(options.clients)], client(options.clients)
    with ThreadPoolExecutor(options.clients + 1) as pool:
        running = [pool.submit(one.run) for one in clients]
        running.append(pool.submit(reader.follow, start))
        try:
            watch(shop, outcome, options, progress, lambda: stopped() or any(one.done() for one in running))
        finally:
            outcome.seconds = outcome.seen.since()
            stop.set()
        for one in running:
            one.result()
    outcome.behind = max(one.behind for one in clients)
    return outcome, clients, reader


def watch(
    shop: Shop, outcome: Outcome, options: Options, progress: Progress, over: Callable[[], bool]
) -> None:
    """Look at the processes until the time is up or it is over."""
    pause = min(MOST_PAUSE, max(LEAST_PAUSE, options.seconds / LOOKS))
    waiting, every = Event(), max(REVISION_SECONDS, options.seconds / REVISIONS)
    while (at := outcome.seen.since()) < options.seconds and not over():
        looked = [found for pid in shop.server.workers() if (found := sample(pid, at)) is not None]
        outcome.samples += looked
        outcome.moments.append(moment(at, looked, shop.connections()))
        progress.at(round(at), told(outcome.seen))
        if at > every * (outcome.revisions + 1):
            outcome.revisions += 1
            publish(shop.engine, outcome.revisions)
        waiting.wait(min(pause, max(0.0, options.seconds - at)))


def publish(engine: Engine, number: int) -> None:
    """Another price of a part that no fixed answer tells of."""
    document = demo_catalogue().replace('price: "29.50"', f'price: "{30 + number}.50"')
    canonical, revision = canonical_document(document), read_catalogue(document).revision
    with writing(engine) as connection:
        revisions.publish(connection, canonical, revision)


def told(seen: Seen) -> str:
    """How it goes, in a line."""
    latest = seen.entries[-1_000:]
    quick = quantile([entry.seconds for entry in latest], 0.5) * 1000
    return f"{len(seen.entries):,} requests, {len(seen.wrong):,} wrong, median {quick:.1f} ms"


def most_connections() -> int:
    """Of all workers: the pool of each may be exceeded by as many again."""
    return WORKERS * 2 * Settings().threads
