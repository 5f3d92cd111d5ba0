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
from contextlib import closing, contextmanager
from pathlib import Path
from uuid import uuid4

import pytest
from sqlalchemy import URL, Engine, NullPool, create_engine, make_url, text

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


@pytest.fixture
def sqlite_url(migrated_file: Path, tmp_path: Path) -> str:
    path = tmp_path / "test.sqlite"
    shutil.copyfile(migrated_file, path)
    return f"sqlite:///{path}"


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[URL]:
    """A PostgreSQL server that is ours to make databases in."""
    given = os.environ.get("TEST_POSTGRES_URL")
    if given:
        yield make_url(given)
        return
    with running_postgres() as url:
        yield make_url(url)


@pytest.fixture(scope="session")
def postgres_template(postgres_server: URL) -> Iterator[str]:
    """The name of a migrated database with nothing in it, to be copied."""
    with new_database(postgres_server) as name:
        open_migrated(_url(postgres_server, name)).dispose()
        yield name


@pytest.fixture
def postgres_url(postgres_server: URL, postgres_template: str) -> Iterator[str]:
    with new_database(postgres_server, template=postgres_template) as name:
        yield _url(postgres_server, name)


@pytest.fixture(params=DATABASES)
def database_url(request: pytest.FixtureRequest) -> str:
    """A fresh database on each of both."""
    url: str = request.getfixturevalue("sqlite_url" if request.param == "sqlite" else "postgres_url")
    return url


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    yield from _opened(database_url)


@pytest.fixture
def sqlite_engine(sqlite_url: str) -> Iterator[Engine]:
    yield from _opened(sqlite_url)


@pytest.fixture
def postgres_engine(postgres_url: str) -> Iterator[Engine]:
    yield from _opened(postgres_url)


@contextmanager
def new_database(server: URL, template: str = "template0") -> Iterator[str]:
    """A database of a name of its own, dropped at the end."""
    name = f"t_{uuid4().hex}"
    _administer(server, f'CREATE DATABASE {name} TEMPLATE "{template}"')
    try:
        yield name
    finally:
        _administer(server, f"DROP DATABASE {name} WITH (FORCE)")


def _opened(url: str) -> Iterator[Engine]:
    engine = open_engine(url)
    yield engine
    engine.dispose()


def _administer(server: URL, statement: str) -> None:
    engine = create_engine(server, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    with engine.connect() as connection:
        connection.execute(text(statement))


def _url(server: URL, name: str) -> str:
    return server.set(database=name).render_as_string(hide_password=False)
