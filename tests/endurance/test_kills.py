"""Whatever is killed while clients write: what was acknowledged is there, once, and is answered so again."""

from __future__ import annotations

import os
import signal
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random

from sqlalchemy import Engine

from service.store.engine import reading
from service.store.ledger import events_after
from service.store.migrate import to_head
from tests.endurance import books
from tests.endurance.counting import Report, part_and_full
from tests.endurance.holding import receive
from tests.endurance.loading import Book, Progress, Writer
from tests.endurance.serving import Served, a_shop, children, served
from tests.support.databases import opened
from tests.support.postgres import Server, postgres

CLIENTS = 6
SEED = 19

Kill = Callable[[], None]
"""Kills something and starts it again, or leaves that to whoever has to."""


@part_and_full(2, 80)
def test_on_sqlite(tmp_path: Path, count: int, report: Report) -> None:
    url = f"sqlite:///{tmp_path / 'shop.db'}"
    with a_shop(url) as engine, served(url, tmp_path) as server:
        report(**endure(engine, server, kills_of(server), count))


@part_and_full(2, 90)
def test_on_postgresql(tmp_path: Path, count: int, report: Report) -> None:
    with (
        postgres(durable=True) as database,
        a_shop(database.url) as engine,
        served(database.url, tmp_path) as server,
    ):
        report(**endure(engine, server, {**kills_of(server), **kills_of_database(database)}, count))


@part_and_full(1, 10)
def test_postgresql_keeps_what_it_acknowledged_where_it_need_not_wait_for_the_disk(
    count: int, report: Report
) -> None:
    """For others its administrator may let it answer first and write later; a kill loses such moments."""
    told: list[int] = []
    with postgres(durable=True) as database, opened(database.url) as engine:
        database.administer("ALTER DATABASE postgres SET synchronous_commit = off")
        to_head(engine)
        for round_ in range(count):
            told += [receive(engine, f"S{round_}N{number}") for number in range(30)]
            database.end(signal.SIGKILL)
            database.start()
            with reading(engine) as connection:
                assert [event.seq for event in events_after(connection, 0)] == told
    report(databases=count, events=len(told))


def kills_of(server: Served) -> dict[str, Kill]:
    """What can happen to the server; the first of them is what happens most."""
    random = Random(SEED)
    return {
        "workers": lambda: server.kill_a_worker(random),
        "masters": server.kill_the_master,
        "whole_servers": server.kill_all,
        "asked_to_stop": server.stop,
    }


def kills_of_database(database: Server) -> dict[str, Kill]:
    """What can happen to PostgreSQL. It starts anew by itself where one of its processes is killed."""
    random = Random(SEED)

    def restart(how: signal.Signals) -> None:
        database.end(how)
        database.start()

    return {
        "database_processes": lambda: os.kill(random.choice(sorted(children(database.pid))), signal.SIGKILL),
        "databases": lambda: restart(signal.SIGKILL),
        "databases_shut_down_at_once": lambda: restart(signal.SIGQUIT),
    }


def endure(engine: Engine, server: Served, kills: Mapping[str, Kill], count: int) -> dict[str, int]:
    """Kill so often while clients write, and compare what each knows with the ledger; what was done."""
    before = books.last(engine)
    todo = plan(list(kills), count)
    written = under_load(server, before, [kills[name] for name in todo])
    assert books.faults(engine, server.port, before, written) == []
    acknowledged = [each for book in written for each in book.acknowledged]
    counts = sum((book.counts for book in written), Counter())
    events = sum(len(books.promised(each)) for each in acknowledged)
    return {**Counter(todo), **counts, "writes": len(acknowledged), "events": events}


def plan(names: Sequence[str], count: int) -> list[str]:
    """Each kind of kill, the first one for half of the time, in an order of chance; or a few of the kinds."""
    random = Random(SEED)
    rest = [random.choice([names[0], random.choice(names)]) for _ in range(count - len(names))]
    return random.sample([*names, *rest], count)


def under_load(server: Served, start: int, kills: Sequence[Kill]) -> list[Book]:
    """The clients' books after all the kills, each at a moment of chance."""
    random, progress = Random(SEED), Progress()
    with ThreadPoolExecutor(CLIENTS) as pool:
        clients = [pool.submit(Writer(server.port, number, start, progress).run) for number in range(CLIENTS)]
        try:
            for kill in kills:
                progress.wait_for(random.randrange(1, 40))
                kill()
            progress.wait_for(CLIENTS)
            server.until_ready()
        finally:
            progress.enough = True
        return [client.result() for client in clients]
