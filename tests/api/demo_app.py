"""The app on the demo's world: made once for all tests that only read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import URL, Engine

from service.api.calling import EXTENSION
from service.demo.making import fill, make_or_reuse
from service.store.engine import open_engine
from tests.support.databases import new_database
from tests.support.keys import keyed_app


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's database."""
    return make_or_reuse(tmp_path_factory.mktemp("demo") / "demo.db")


@pytest.fixture(scope="session")
def demo_engine(demo_file: Path) -> Iterator[Engine]:
    engine = open_engine(f"sqlite:///{demo_file}")
    yield engine
    engine.dispose()


@pytest.fixture(scope="session")
def demo_app(demo_engine: Engine) -> Flask:
    return keyed_app(demo_engine)


@pytest.fixture
def client(demo_app: Flask) -> FlaskClient:
    """It sends a key that is good for everything, where a test sends none of its own."""
    return demo_app.test_client()


@pytest.fixture(scope="session")
def postgres_demo_app(postgres_server: URL, postgres_template: str) -> Iterator[Flask]:
    """The same world on PostgreSQL."""
    with new_database(postgres_server, template=postgres_template) as name:
        engine = open_engine(postgres_server.set(database=name).render_as_string(hide_password=False))
        fill(engine)
        app = keyed_app(engine)
        yield app
        app.extensions[EXTENSION].reader.close()
        engine.dispose()
