"""Two servers on one database: what either acknowledges is in the feeds of both, once and in one order."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from random import Random
from threading import Event

from tests.endurance import books
from tests.endurance.asking import Client
from tests.endurance.counting import Report, part_and_full
from tests.endurance.loading import Book, Progress, Writer
from tests.endurance.serving import Served, a_shop, served

CLIENTS = 4
"""Of each server; each has a reader of the feed beside them."""
PAUSE = 0.01


@part_and_full(60, 1_500)
def test_two_servers_keep_one_ledger(database_url: str, tmp_path: Path, count: int, report: Report) -> None:
    (tmp_path / "other").mkdir()
    with (
        a_shop(database_url) as engine,
        served(database_url, tmp_path) as one,
        served(database_url, tmp_path / "other") as other,
    ):
        start = books.last(engine)
        written, feeds = under_load([one, other], start, count)
        assert books.faults(engine, one.port, start, written) == []
        assert feeds[0] == feeds[1] == list(books.kept(engine, start))
    acknowledged = [each for book in written for each in book.acknowledged]
    report(writes=len(acknowledged), events=len(feeds[0]))


def under_load(servers: list[Served], start: int, count: int) -> tuple[list[Book], list[list[books.Told]]]:
    """The clients' books after so many writes, and what a reader at each server has seen meanwhile."""
    progress, over = Progress(), Event()
    with ThreadPoolExecutor(len(servers) * (CLIENTS + 1)) as pool:
        ports = [server.port for server in servers for _ in range(CLIENTS)]
        clients = [pool.submit(Writer(port, at, progress).run) for at, port in enumerate(ports)]
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
