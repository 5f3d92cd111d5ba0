"""Fixtures of the till's tests."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from tests.sale.tills import Till, opened


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
