"""The service keeps what its document promises, by schemathesis (a public property-based API tester).

Every check of it is made. The plain suite runs a fixed part of the calls; the deep one many more, since
a fault that was missed at 50 calls an operation has been found at 300.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from flask import Flask

from service.api.calling import EXTENSION
from tests.contract.running import PHASES, Result, run
from tests.support.databases import opened
from tests.support.demo_copies import copied
from tests.support.keys import keyed_app

CHECKS = {
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_headers_conformance",
    "response_schema_conformance",
    "negative_data_rejection",
    "positive_data_acceptance",
    "missing_required_header",
    "unsupported_method",
    "allow_header_conformance",
    "use_after_free",
    "ensure_resource_availability",
    "ignored_auth",
    "object_level_authorization",
}


@pytest.fixture
def sqlite_app(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Flask]:
    """The app on a copy of the demo's world: generated calls write to it."""
    with _app_on_a_copy(request, "sqlite", tmp_path) as app:
        yield app


@pytest.fixture
def postgres_app(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Flask]:
    """The same on PostgreSQL."""
    with _app_on_a_copy(request, "postgresql", tmp_path) as app:
        yield app


@contextmanager
def _app_on_a_copy(request: pytest.FixtureRequest, kind: str, folder: Path) -> Iterator[Flask]:
    with copied(request, kind, folder) as url, opened(url) as engine:
        app = keyed_app(engine)
        yield app
        app.extensions[EXTENSION].reader.close()
        # The calls were made in the library's threads; their connections go back when those are gone.
        gc.collect()


def _assert_kept(result: Result, least: dict[str, int]) -> None:
    assert result.failures == []
    assert [phase for phase, count in least.items() if result.cases[phase] < count] == []
    assert set(result.checks) == CHECKS


def test_what_is_drawn_on_sqlite(sqlite_app: Flask) -> None:
    result = run(sqlite_app, ("examples", "fuzzing", "stateful"), examples=8)
    _assert_kept(result, {"examples": 12, "fuzzing": 60, "stateful": 20})


def test_coverage_on_sqlite(sqlite_app: Flask) -> None:
    """Without events and sale checks, which are more than half of all calls, and with a tenth of the plans of
    upgrades, which take half of the rest's time; the deep run makes them all."""
    result = run(
        sqlite_app,
        ("coverage",),
        examples=8,
        leave_out=("record_events", "check_sale"),
        sample=("plan_upgrade",),
    )
    _assert_kept(result, {"coverage": 500})


def test_what_is_drawn_on_postgresql(postgres_app: Flask) -> None:
    """Half as many as on SQLite, and without the phase of coverage: nearly all of its calls are refused
    before a database is asked."""
    result = run(postgres_app, ("examples", "fuzzing", "stateful"), examples=4)
    _assert_kept(result, {"examples": 12, "fuzzing": 60, "stateful": 20})


@pytest.mark.deep
def test_many_calls_on_sqlite(sqlite_app: Flask) -> None:
    result = run(sqlite_app, ("coverage", "fuzzing", "stateful"), examples=400)
    _assert_kept(result, {"coverage": 2_000, "fuzzing": 3_000, "stateful": 1_000})


@pytest.mark.deep
def test_many_calls_on_postgresql(postgres_app: Flask) -> None:
    result = run(postgres_app, PHASES, examples=150)
    _assert_kept(result, {"examples": 12, "coverage": 500, "fuzzing": 1_000, "stateful": 300})
