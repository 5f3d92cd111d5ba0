"""The app on the demo's world: made once for all tests that only read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.demo.making import make_or_reuse
from service.store.engine import open_engine
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
