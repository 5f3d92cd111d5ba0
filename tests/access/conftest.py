"""Fixtures of the tests about keys: the demo's world in a database of its own, for they make and end keys."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.settings import Settings
from service.wiring import app_on
from tests.support.databases import opened
from tests.support.demo_copies import copied
from tests.support.keys import without_key

ALERT = Settings(key_check_seconds=0)
"""A new or ended key is noticed at once."""


@pytest.fixture(scope="module")
def shop_engine(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """The demo's world, a copy for each module."""
    folder: Path = tmp_path_factory.mktemp("shop")
    with copied(request, "sqlite", folder) as url, opened(url) as engine:
        yield engine


@pytest.fixture(scope="module")
def shop_app(shop_engine: Engine) -> Flask:
    return app_on(shop_engine, ALERT)


@pytest.fixture
def client(shop_app: Flask) -> FlaskClient:
    """It sends no key by itself."""
    return without_key(shop_app)
