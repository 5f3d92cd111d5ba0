"""Fixtures: the demo's world in a database of its own for each test that writes, on both databases."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import URL, Engine

from service.api.calling import EXTENSION
from service.demo.making import fill, make_or_reuse
from tests.support.databases import DATABASES, new_database, opened, url_of
from tests.support.keys import keyed_app, put_suite_key


@pytest.fixture(scope="session")
def sqlite_world(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's world with the tests' key, to be copied."""
    file = make_or_reuse(tmp_path_factory.mktemp("world") / "world.db")
    with opened(f"sqlite:///{file}") as engine:
        put_suite_key(engine)
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return file


@pytest.fixture(scope="session")
def postgres_world(postgres_server: URL, postgres_template: str) -> Iterator[str]:
    """The name of a database with the same, to be copied."""
    with new_database(postgres_server, template=postgres_template) as name:
        with opened(url_of(postgres_server, name)) as engine:
            fill(engine)
            put_suite_key(engine)
        yield name


@pytest.fixture(params=DATABASES)
def world_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A copy of the demo's world, on each of both databases."""
    with copied(request, request.param, tmp_path) as url:
        yield url


@pytest.fixture
def world(world_url: str) -> Iterator[Engine]:
    """The same, opened."""
    with opened(world_url) as engine:
        yield engine


@pytest.fixture
def world_app(world: Engine) -> Iterator[Flask]:
    """The app on it; its clients send the tests' key."""
    app = keyed_app(world)
    yield app
    app.extensions[EXTENSION].reader.close()


@contextmanager
def copied(request: pytest.FixtureRequest, kind: str, folder: Path) -> Iterator[str]:
    """The URL of a copy."""
    if kind == "sqlite":
        shutil.copyfile(request.getfixturevalue("sqlite_world"), folder / "world.db")
        yield f"sqlite:///{folder / 'world.db'}"
        return
    server, template = (request.getfixturevalue(name) for name in ("postgres_server", "postgres_world"))
    with new_database(server, template=template) as name:
        yield url_of(server, name)
