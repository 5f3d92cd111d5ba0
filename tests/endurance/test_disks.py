"""While nothing can be written, writers are told so and readers are served; afterwards all is well again."""

from __future__ import annotations

import json
import os
import shutil
import time
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import URL, Engine, NullPool, create_engine, make_url, text

from tests.endurance import books, soundness
from tests.endurance.asking import Answer, Client, Write, event
from tests.endurance.counting import Report
from tests.endurance.crews import PATIENCE
from tests.endurance.disks import Trouble, filled, limited, may_have_small_disks, on_small_disk, seen_by
from tests.endurance.loading import Acknowledged, Book
from tests.endurance.serving import Served, a_shop, in_this_process, served
from tests.support.databases import fresh, opened, url_of
from tests.support.postgres import Server, postgres, server_user

MANY = 60
"""Events of a write: so many need new pages."""
MOST_WRITES = 200
REFUSALS = 5
READS = ("/v1/events?after=0", "/v1/units/TMPL23140032M", "/v1/boards/TBM4124382004F", "/v1/parts", "/readyz")


class Shop:
    """A client, and its book."""

    def __init__(self, server: Served) -> None:
        self._client = Client(server.port)
        self._sent = 0
        self.book = Book()

    def write(self) -> Write:
        """A write that was not sent yet."""
        self._sent += 1
        board = f"D{self._sent}"
        received = event("received", board=board, part="MN-4100", binding="blank")
        tests = [event("tested", board=board, passed=True)] * MANY
        return Write(f"disk-{self._sent:06d}", json.dumps({"events": [received, *tests]}).encode())

    def send(self, write: Write) -> Answer:
        """Send it; what is acknowledged is put into the book."""
        answer = self._client.record(write)
        if answer.status == 201:
            self.book.acknowledged.append(Acknowledged(write, answer))
        return answer

    def close(self) -> None:
        self._client.close()

    def statuses(self) -> set[int]:
        """What those who only ask are answered."""
        return {self._client.get(path).status for path in READS}


def a_client(server: Served) -> closing[Shop]:
    return closing(Shop(server))


def hold(server: Served, shop: Shop, trouble: Trouble) -> int:
    """Go through some trouble; how many writes were kept while it lasted."""
    workers = server.workers()
    assert [shop.send(shop.write()).status for _ in range(3)] == [201] * 3
    trouble.begin()
    refused, kept = until_refused(shop)
    assert shop.statuses() == {200}
    trouble.end()
    until_well(shop, refused[0])
    assert [shop.send(write).status for write in refused[1:]] == [201] * (REFUSALS - 1)
    assert [shop.send(shop.write()).status for _ in range(3)] == [201] * 3
    assert shop.statuses() == {200}
    assert server.workers() == workers
    return kept


def until_refused(shop: Shop) -> tuple[list[Write], int]:
    """Write until it was refused so often; those writes, and how many others were kept before or between."""
    refused: list[Write] = []
    for at in range(MOST_WRITES):
        write = shop.write()
        answer = shop.send(write)
        if answer.status != 201:
            assert (answer.status, answer.json()["code"]) == (503, "store_unavailable")
            assert int(answer.headers["Retry-After"]) > 0
            refused.append(write)
        if len(refused) == REFUSALS:
            return refused, at + 1 - REFUSALS
    raise AssertionError("everything was kept: there was no trouble")


def until_well(shop: Shop, write: Write) -> None:
    """Send what was refused until it is kept: PostgreSQL's processes hear of a new setting one by one."""
    deadline = time.monotonic() + PATIENCE
    while (answer := shop.send(write)).status != 201:
        assert answer.status == 503
        assert time.monotonic() < deadline, "it does not become well again"


def test_files_of_sqlite_that_cannot_grow(tmp_path: Path, report: Report) -> None:
    file = tmp_path / "shop.db"
    with (
        a_shop(f"sqlite:///{file}") as engine,
        served(f"sqlite:///{file}", tmp_path) as server,
        a_client(server) as shop,
    ):
        start = books.last(engine)
        kept = hold(server, shop, limited(server.workers(), tmp_path))
        assert books.faults(engine, server.port, start, [shop.book]) == []
    report(kept_in_the_last_room=kept, refused=REFUSALS)


@pytest.mark.deep
def test_a_full_disk_under_sqlite(tmp_path: Path, report: Report) -> None:
    """A disk of its own is seen by the server alone, so the ledger is looked at in a copy of its files."""
    disk = a_small_disk(tmp_path / "disk")
    url = f"sqlite:///{disk / 'shop.db'}"
    with a_shop(url) as engine:
        start = books.last(engine)
    with served(url, tmp_path, on_small_disk(disk, "8m")) as server, a_client(server) as shop:
        there = seen_by(server.master, disk)
        kept = hold(server, shop, filled(there))
        shutil.copytree(there, tmp_path / "copy")
        with opened(f"sqlite:///{tmp_path / 'copy' / 'shop.db'}") as engine:
            assert books.faults(engine, server.port, start, [shop.book]) == []
    report(kept_in_the_last_room=kept, refused=REFUSALS)


@pytest.mark.deep
def test_a_full_disk_under_a_tablespace_of_postgresql(tmp_path: Path, report: Report) -> None:
    a_small_disk(tmp_path / "disk")
    if os.getuid() != 0:
        pytest.skip("PostgreSQL takes no disk from a user who may only mount as if he were root")
    with (
        postgres(durable=True, around=lambda folder: on_small_disk(folder / "disk", "32m")) as database,
        a_shop(in_tablespace(database)) as engine,
        served(engine.url.render_as_string(hide_password=False), tmp_path) as server,
        a_client(server) as shop,
    ):
        start = books.last(engine)
        kept = hold(server, shop, filled(seen_by(database.pid, database.folder / "disk")))
        assert books.faults(engine, server.port, start, [shop.book]) == []
    report(kept_in_the_last_room=kept, refused=REFUSALS)


def test_where_postgresql_lets_nobody_write_readers_are_served(
    request: pytest.FixtureRequest, postgres_server: URL, tmp_path: Path
) -> None:
    """The same as below within one process and in a second; its sessions are ended and begun anew besides."""
    refused = Write("read-only", json.dumps({"events": [event("tested", board="D1", passed=True)]}).encode())
    with (
        fresh(request, "postgresql", tmp_path) as url,
        a_shop(url) as engine,
        in_this_process(engine) as client,
    ):
        switch(postgres_server, engine, "SET default_transaction_read_only = on")
        away = client.post("/v1/events", data=refused.body, headers=refused.headers())
        assert (away.status_code, away.get_json()["code"]) == (503, "store_unavailable")
        assert int(away.headers["Retry-After"]) > 0
        assert {client.get(path).status_code for path in READS} == {200}
        switch(postgres_server, engine, "RESET default_transaction_read_only")
        assert client.post("/v1/events", data=refused.body, headers=refused.headers()).status_code == 201
        assert soundness.faults(engine) == []


def switch(server: URL, engine: Engine, setting: str) -> None:
    """Change what holds for a database, and end its sessions: only new ones go by it."""
    ending = "SELECT pg_terminate_backend(pid, 10000) FROM pg_stat_activity WHERE datname = :name"
    name = engine.url.database
    with create_engine(server, isolation_level="AUTOCOMMIT", poolclass=NullPool).connect() as connection:
        connection.execute(text(f"ALTER DATABASE {name} {setting}"))
        connection.execute(text(ending), {"name": name})


@pytest.mark.deep
def test_postgresql_that_is_read_only_for_a_while(tmp_path: Path, report: Report) -> None:
    with (
        postgres(durable=True) as database,
        a_shop(database.url) as engine,
        served(database.url, tmp_path) as server,
        a_client(server) as shop,
    ):
        start = books.last(engine)
        kept = hold(server, shop, read_only(database))
        assert books.faults(engine, server.port, start, [shop.book]) == []
    report(kept=kept, refused=REFUSALS)


@pytest.mark.deep
def test_a_file_that_is_read_only_is_read(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'shop.db'}"
    with a_shop(url) as engine:
        start = books.last(engine)
    file = f"sqlite:///file:{tmp_path / 'shop.db'}?mode=ro&uri=true"
    with served(file, tmp_path) as server, a_client(server) as shop:
        refused, kept = until_refused(shop)
        assert (len(refused), kept) == (REFUSALS, 0)
        assert shop.statuses() == {200}
    with opened(url) as engine:
        assert books.last(engine) == start


def a_small_disk(folder: Path) -> Path:
    """A folder to put a small disk in place of, where that may be done."""
    folder.mkdir()
    if not may_have_small_disks(folder):
        pytest.skip("this user may not mount a small disk; files that cannot grow are tried instead")
    return folder


def in_tablespace(database: Server) -> str:
    """The URL of a new database whose tables are all on the server's small disk."""
    space = database.folder / "disk" / "space"
    seen_by(database.pid, space).mkdir()
    os.chown(seen_by(database.pid, space), *server_user())
    database.administer(
        f"CREATE TABLESPACE small LOCATION '{space}'", "CREATE DATABASE shop TABLESPACE small"
    )
    return url_of(make_url(database.url), "shop")


def read_only(database: Server) -> Trouble:
    """PostgreSQL as where its administrator lets nobody write; sessions that are open obey too."""
    reload = "SELECT pg_reload_conf()"
    # Even the setting is only taken back by a session that says first that it will write.
    begin = ("ALTER SYSTEM SET default_transaction_read_only = on", reload)
    end = (
        "SET default_transaction_read_only = off",
        "ALTER SYSTEM RESET default_transaction_read_only",
        reload,
    )
    return Trouble(begin=lambda: database.administer(*begin), end=lambda: database.administer(*end))
