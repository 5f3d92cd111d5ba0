"""Two servers on one PostgreSQL, as two hosts are, one of them with several workers."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from http.client import HTTPException

import pytest
from sqlalchemy import URL, Engine

from service.demo.world import demo_catalogue
from service.papers import canonical_document, read_catalogue
from service.store import revisions
from service.store.engine import writing
from tests.endurance.asking import Answer, Client
from tests.endurance.counting import part_and_full
from tests.endurance.crews import PATIENCE
from tests.endurance.serving import Served
from tests.serving.proxy import load, proxy
from tests.support.databases import new_database, opened, url_of
from tests.support.keys import put_suite_key

REACHES_ALL = 5
"""Seconds within which every worker answers from a new catalogue."""
ASKED = 12
"""Answers of a server that have to be alike: of two workers it is chance who answers."""
PRICED = "/v1/parts/LF-7100"
DRAIN = 1


@dataclass(frozen=True, slots=True)
class Hosts:
    """Two servers and their database."""

    engine: Engine
    servers: tuple[Served, Served]
    at_first: list[Answer] = field(default_factory=list)
    """What every worker said of its readiness before anything was published."""

    def answers(self, path: str, server: Served) -> list[Answer]:
        """Answers of one server, each on a connection of its own, so that every worker has its turn."""
        found = []
        for _ in range(ASKED):
            with closing(Client(server.port)) as client:
                found.append(client.get(path))
        return found


@pytest.fixture(scope="module")
def hosts(postgres_server: URL, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Hosts]:
    """Both are started at the same moment, on a database without any table."""
    folder = tmp_path_factory.mktemp("hosts")
    settings = {"BOARDFIT_DRAIN_SECONDS": str(DRAIN)}
    with new_database(postgres_server) as name:
        url = url_of(postgres_server, name)
        one, other = (
            Served(url, folder / f"{workers}.log", environment={**settings, "BOARDFIT_WORKERS": workers})
            for workers in ("2", "1")
        )
        try:
            for server in (one, other):
                server.launch()
            for server in (one, other):
                until(lambda server=server: is_alive(server))  # type: ignore[misc] # mypy cannot infer it
            with opened(url) as engine:
                put_suite_key(engine)
                made = Hosts(engine, (one, other))
                for server in made.servers:
                    made.at_first.extend(made.answers("/readyz", server))
                yield made
        finally:
            one.end()
            other.end()


def until(holds: Callable[[], bool], seconds: float = PATIENCE) -> None:
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline, "not in time"
        time.sleep(0.05)


def is_alive(server: Served) -> bool:
    with closing(Client(server.port)) as client, suppress(OSError, HTTPException):
        return client.get("/healthz").status == 200
    return False


def publish(engine: Engine, text: str) -> str:
    with writing(engine) as connection:
        found = revisions.publish(connection, canonical_document(text), read_catalogue(text).revision)
    return found.revision


def test_both_start_on_an_empty_database_and_each_revision_reaches_every_worker(hosts: Hosts) -> None:
    assert {(each.status, each.json()["code"]) for each in hosts.at_first} == {(503, "no_catalogue")}
    for text in (demo_catalogue(), demo_catalogue().replace('price: "29.50"', 'price: "31.00"')):
        revision, published = publish(hosts.engine, text), time.monotonic()

        def everywhere(revision: str = revision) -> bool:
            found = [each for server in hosts.servers for each in hosts.answers(PRICED, server)]
            return all(each.status == 200 and each.json()["catalogue_revision"] == revision for each in found)

        until(everywhere, REACHES_ALL)
        assert time.monotonic() - published < REACHES_ALL


def test_whoever_is_asked_tells_the_counts_of_all_workers(hosts: Hosts) -> None:
    publish(hosts.engine, demo_catalogue())
    server = hosts.servers[0]
    server.until_ready()
    before = asked_of(server)
    hosts.answers(PRICED, server)
    assert {asked_of(server) for _ in range(ASKED)} == {before + ASKED}


def asked_of(server: Served) -> float:
    """How many parts a server has told of."""
    with closing(Client(server.port)) as client:
        told = client.get("/metrics").body.decode()
    name = 'boardfit_requests_total{operation="get_part",status="200"} '
    return sum(float(line.removeprefix(name)) for line in told.splitlines() if line.startswith(name))


@part_and_full(1, 10)
def test_no_request_is_lost_while_one_after_the_other_is_restarted(
    hosts: Hosts, count: int, record_property: Callable[[str, object], None]
) -> None:
    publish(hosts.engine, demo_catalogue())
    for server in hosts.servers:
        server.until_ready()
    with proxy(hosts.servers) as front, load(front, PRICED, clients=4) as told:
        for restart in range(count):
            server = hosts.servers[(restart + 1) % 2]
            server.stop()
            until(lambda: len(front.ready) == 2)
    assert told.failed == []
    assert told.asked > 20 * count
    record_property("requests", told.asked)
