"""Fixtures: databases that write in earnest, and a report of what was counted."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from sqlalchemy import URL

from tests.endurance.counting import Report
from tests.support.databases import migrated_database, server_for_tests
from tests.support.postgres import running_postgres


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[URL]:
    """In place of the server of the other tests: one that has written what it acknowledges."""
    with server_for_tests(running_postgres(durable=True)) as server:
        yield server


@pytest.fixture(scope="session")
def postgres_template(postgres_server: URL) -> Iterator[str]:
    """The name of a migrated database on that server."""
    with migrated_database(postgres_server) as name:
        yield name


@pytest.fixture
def report(request: pytest.FixtureRequest, record_property: Report) -> Iterator[Report]:
    """Takes numbers by name."""
    numbers: dict[str, object] = {}
    began = time.monotonic()
    yield numbers.update
    numbers["seconds"] = round(time.monotonic() - began, 1)
    for name, number in numbers.items():
        record_property(name, number)
    told = ", ".join(f"{name.replace('_', ' ')} {number}" for name, number in numbers.items())
    print(f"\n{request.node.name}: {told}")  # noqa: T201 - shown by -s: the counts are what the run is for
