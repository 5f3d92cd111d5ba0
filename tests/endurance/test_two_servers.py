"""Two servers on one database: what either acknowledges is in the feeds of both, once and in one order."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import dataclass
from random import Random
from threading import Barrier, Event

import pytest
from sqlalchemy import Engine

from tests.endurance import books, racing, soundness
from tests.endurance.asking import Client
from tests.endurance.counting import Report, part_and_full
from tests.endurance.loading import Book, Progress, Writer
from tests.endurance.serving import Served, a_shop, served
from tests.support.databases import fresh

CLIENTS = 4
"""Of each server; each has a reader of the feed beside them."""
PAUSE = 0.01


@dataclass(frozen=True, slots=True)
class Pair:
    """Two servers and their database."""

    engine: Engine
    servers: tuple[Served, Served]


@pytest.fixture(scope="module", params=["sqlite", pytest.param("postgresql", marks=pytest.mark.deep)])
def pair(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Pair]:
    """Both are used by all tests here: to start one takes longer than a test."""
    folders = [tmp_path_factory.mktemp(name) for name in ("one", "other")]
    with fresh(request, request.param, folders[0]) as url, a_shop(url) as engine, ExitStack() as stack:
        one, other = (stack.enter_context(served(url, folder)) for folder in folders)
        yield Pair(engine, (one, other))


@part_and_full(80, 1_500)
def test_what_either_acknowledges_is_in_the_feeds_of_both(pair: Pair, count: int, report: Report) -> None:
    start = books.last(pair.engine)
    written, feeds = under_load(pair.servers, start, count)
    assert books.faults(pair.engine, pair.servers[0].port, start, written) == []
    assert feeds[0] == feeds[1] == list(books.kept(pair.engine, start))
    acknowledged = [each for book in written for each in book.acknowledged]
    report(writes=len(acknowledged), events=len(feeds[0]))


@part_and_full(40, 400)
def test_of_two_who_want_a_blank_board_one_gets_it(pair: Pair, count: int, report: Report) -> None:
    """One writes at the one server, one at the other."""
    todo, start = racing.races(count, seed=count), Barrier(racing.WRITERS)
    racing.receive(pair.engine, todo)
    with ThreadPoolExecutor(racing.WRITERS) as pool:
        writers = [
            pool.submit(racing.run_over_http, start, at, server.port, todo)
            for at, server in enumerate(pair.servers)
        ]
        outcomes = [writer.result() for writer in writers]
    assert racing.faults(pair.engine, todo, outcomes) == []
    assert soundness.faults(pair.engine) == []
    report(races=count, **racing.wins(outcomes))


def under_load(
    servers: Sequence[Served], start: int, count: int
) -> tuple[list[Book], list[list[books.Told]]]:
    """The clients' books after so many writes, and what a reader at each server has seen meanwhile."""
    progress, over = Progress(), Event()
    with ThreadPoolExecutor(len(servers) * (CLIENTS + 1)) as pool:
        ports = [server.port for server in servers for _ in range(CLIENTS)]
        clients = [pool.submit(Writer(port, at, start, progress).run) for at, port in enumerate(ports)]
        readers = [pool.submit(follow, server.port, start, over) for server in servers]
        try:
            progress.wait_for(count)
        finally:
            progress.enough = True
            try:
                written = [client.result() for client in clients]
            finally:
                over.set()
        return written, [reader.result() for reader in readers]


def follow(port: int, after: int, over: Event) -> list[books.Told]:
    """What the feed of a server tells, page by page, until it is over and nothing is left."""
    random, seen = Random(port), []
    with closing(Client(port)) as client:
        while True:
            ending = over.is_set()
            page = client.get(f"/v1/events?after={after}&page_size={random.choice([1, 5, 100])}").json()
            seen += [books.told(event) for event in page["items"]]
            after = page["next_after"]
            if not page["items"]:
                if ending:
                    return seen
                time.sleep(PAUSE)
