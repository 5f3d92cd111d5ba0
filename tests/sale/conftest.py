"""Fixtures of the till's tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from tests.sale.tills import Till, opened
from tests.support.databases import fresh
from tests.support.databases import opened as engine_of


@pytest.fixture
def till(engine: Engine) -> Iterator[Till]:
    """A till on each of both databases."""
    with opened(engine) as till:
        yield till


@pytest.fixture
def one_till(sqlite_engine: Engine) -> Iterator[Till]:
    """A till on SQLite, where the database makes no difference."""
    with opened(sqlite_engine) as till:
        yield till


@pytest.fixture(scope="module")
def shared_till(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Till]:
    """A till for all the tests that are refused."""
    folder = tmp_path_factory.mktemp("till")
    with fresh(request, "sqlite", folder) as url, engine_of(url) as engine, opened(engine) as till:
        yield till
