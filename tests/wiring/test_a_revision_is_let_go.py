"""What a process remembers of one revision does not outlive it: a shop publishes for years."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path
from weakref import ref

import pytest
from flask import Flask
from sqlalchemy import Engine

from service.api.calling import EXTENSION
from service.demo.questions import EXAMPLES, WRITES
from service.demo.world import demo_catalogue
from service.papers import canonical_document, read_catalogue
from service.settings import Settings
from service.store import revisions
from service.store.engine import writing
from tests.support.databases import opened
from tests.support.demo_copies import copied
from tests.support.keys import keyed_app


@pytest.fixture
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    with copied(request, "sqlite", tmp_path) as url, opened(url) as engine:
        yield engine


@pytest.fixture
def app(engine: Engine) -> Iterator[Flask]:
    """It looks for a new catalogue with every question."""
    app = keyed_app(engine, Settings(catalogue_check_seconds=0))
    yield app
    app.extensions[EXTENSION].reader.close()


def ask_everything(app: Flask) -> None:
    client = app.test_client()
    for call in EXAMPLES:
        if call not in WRITES:
            answer = client.open(call.target, method=call.method, json=call.body)
            assert answer.status_code == 200, answer.get_data()


def test_an_earlier_revision_is_let_go(app: Flask, engine: Engine) -> None:
    ask_everything(app)
    earlier = ref(app.extensions[EXTENSION].catalogue())
    text = demo_catalogue().replace('price: "29.50"', 'price: "31.00"')
    with writing(engine) as connection:
        revisions.publish(connection, canonical_document(text), read_catalogue(text).revision)
    ask_everything(app)
    gc.collect()
    assert earlier() is None
