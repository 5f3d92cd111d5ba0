"""Fixtures: a fresh, migrated database for a test, on SQLite and on PostgreSQL.

`engine` runs a test on both; `sqlite_engine` and `postgres_engine` on one. Both are made by migrating
once and copying: a file on SQLite, `CREATE DATABASE … TEMPLATE` on PostgreSQL. A server that is there
already is taken from TEST_POSTGRES_URL.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager, closing, contextmanager, nullcontext
from functools import cache
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import URL, Engine, create_engine, make_url, text

from service.store.engine import open_engine
from service.store.migrate import to_head
from tests.support.postgres import running_postgres

DATABASES = ("sqlite", "postgresql")


def open_migrated(url: str) -> Engine:
    """An engine on a database brought to the newest tables."""
    engine = open_engine(url)
    to_head(engine)
    return engine


@pytest.fixture(scope="session")
def migrated_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite database with the tables and nothing in them, to be copied."""
    path = tmp_path_factory.mktemp("migrated") / "migrated.sqlite"
    open_migrated(f"sqlite:///{path}").dispose()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[URL]:
    """A PostgreSQL server that is ours to make databases in."""
    with server_for_tests(running_postgres()) as server:
        yield server


@contextmanager
def server_for_tests(ours: AbstractContextManager[str]) -> Iterator[URL]:
    """The server that TEST_POSTGRES_URL names, or else ours."""
    given = os.environ.get("TEST_POSTGRES_URL")
    with nullcontext(given) if given else ours as url:
        server = make_url(url)
        yield server
        _administrator(server).dispose()


@pytest.fixture(scope="session")
def postgres_template(postgres_server: URL) -> Iterator[str]:
    """The name of a migrated database with nothing in it, to be copied."""
    with migrated_database(postgres_server) as name:
        yield name


@contextmanager
def migrated_database(server: URL) -> Iterator[str]:
    """The name of a database of the server with the tables and nothing in them, dropped at the end."""
    with new_database(server) as name:
        open_migrated(url_of(server, name)).dispose()
        yield name


@pytest.fixture(params=DATABASES)
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A fresh database, on each of both."""
    with fresh(request, request.param, tmp_path) as url:
        yield url


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    """The same, opened."""
    with opened(database_url) as engine:
        yield engine


@pytest.fixture
def sqlite_engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A fresh SQLite database, opened."""
    with fresh(request, "sqlite", tmp_path) as url, opened(url) as engine:
        yield engine


@pytest.fixture
def postgres_engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A fresh PostgreSQL database, opened."""
    with fresh(request, "postgresql", tmp_path) as url, opened(url) as engine:
        yield engine


@contextmanager
def fresh(request: pytest.FixtureRequest, kind: str, folder: Path) -> Iterator[str]:
    """The URL of a migrated database with nothing in it, for a fixture of any scope."""
    if kind == "sqlite":
        path = folder / "test.sqlite"
        shutil.copyfile(request.getfixturevalue("migrated_file"), path)
        yield f"sqlite:///{path}"
        return
    server, template = (request.getfixturevalue(name) for name in ("postgres_server", "postgres_template"))
    with new_database(server, template) as name:
        yield url_of(server, name)


@contextmanager
def opened(url: str) -> Iterator[Engine]:
    """An engine that is disposed of at the end."""
    engine = open_engine(url)
    try:
        yield engine
    finally:
        engine.dispose()


@contextmanager
def new_database(server: URL, template: str = "template0") -> Iterator[str]:
    """A database of a name of its own, dropped at the end."""
    name = f"t_{uuid4().hex}"
    # Copying the files is many times cheaper than writing them to the log (PostgreSQL 15 and later).
    _administer(server, f'CREATE DATABASE {name} TEMPLATE "{template}" STRATEGY FILE_COPY')
    try:
        yield name
    finally:
        _administer(server, f"DROP DATABASE {name} WITH (FORCE)")


@cache
def _administrator(server: URL) -> Engine:
    """The one connection that makes and drops databases; each new one would be a new process."""
    return create_engine(server, isolation_level="AUTOCOMMIT", pool_size=1, max_overflow=0)


def _administer(server: URL, statement: str) -> None:
    with _administrator(server).connect() as connection:
        connection.execute(text(statement))


def url_of(server: URL, name: str) -> str:
    """The URL of a database of the server."""
    return server.set(database=name).render_as_string(hide_password=False)
