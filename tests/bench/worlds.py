"""What is measured against: the demo's shop on a file of its own, and a bare Flask route beside it."""

from __future__ import annotations

import gc
import io
import json
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.test import EnvironBuilder

from service.api.calling import EXTENSION
from service.api.seeing.log import RequestLog
from service.api.seeing.watching import Seeing, Watch
from service.demo.making import fill, make_or_reuse
from service.demo.questions import TYPICAL
from service.settings import Settings
from service.store.engine import open_engine
from service.store.migrate import to_head
from tests.support.keys import SUITE, keyed_app
from tests.support.postgres import running_postgres

FIT = next(call.target for call in TYPICAL if call.target.startswith("/v1/fit?board="))
"""The question of fit in one line, board and unit both recorded."""
KEY = {"Authorization": f"Bearer {SUITE.written()}"}


@contextmanager
def demo_app(url: str | None = None) -> Iterator[Flask]:
    """The app on the demo's world: a new SQLite file, or a database that holds the world already."""
    with tempfile.TemporaryDirectory() as folder:
        found = url or f"sqlite:///{make_or_reuse(Path(folder) / 'bench.db')}"
        yield served(Settings(database_url=found, catalogue_check_seconds=60, key_check_seconds=60))


@contextmanager
def demo_on_postgresql() -> Iterator[Flask]:
    """The app on the demo's world in a PostgreSQL of its own."""
    with running_postgres() as url:
        engine = open_engine(url)
        to_head(engine)
        fill(engine)
        engine.dispose()
        with demo_app(url) as app:
            yield app
            app.extensions[EXTENSION].reader.close()
            app.extensions[EXTENSION].database.dispose()


def served(settings: Settings) -> Flask:
    """The app as it is served, with a key that no measurement uses up."""
    engine = open_engine(settings.database_url, pool_size=settings.threads)
    app = keyed_app(engine, settings, seeing=seeing())
    gc.freeze()  # as a worker does when it has started (`server.options`)
    return app


def seeing() -> Seeing:
    """A log and counts as a server has them, but for where they end: in nothing, and in memory."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    return Seeing(log=RequestLog(lambda line: os.write(nowhere, line), "info"))


def watched(app: Flask) -> Flask:
    """The app with every request counted and logged."""
    vars(app)["wsgi_app"] = Watch(app.wsgi_app, seeing(), lambda: "r-0123456789abcdef")
    return app


def bare_app() -> Flask:
    """The least that Flask does for an answer in JSON."""
    app = Flask("bare")

    @app.get("/bare")
    def bare() -> dict[str, str]:
        return {"outcome": "fits"}

    return app


def get(app: Flask, target: str) -> Callable[[], bytes]:
    """A GET of the app in process, as a WSGI server makes it."""
    path, _, query = target.partition("?")
    environ = EnvironBuilder(path=path, query_string=query, headers=KEY.items()).get_environ()
    return lambda: _call(app, dict(environ))


def post(app: Flask, path: str, body: Any, headers: Mapping[str, str] | None = None) -> Callable[[], bytes]:
    """A POST of a JSON document."""
    data = json.dumps(body).encode()
    sent = {**KEY, **(headers or {})}
    environ = EnvironBuilder(
        path=path, method="POST", content_type="application/json", data=data, headers=sent.items()
    ).get_environ()
    return lambda: _call(app, {**environ, "wsgi.input": io.BytesIO(data)})


def _call(app: Flask, environ: dict[str, Any]) -> bytes:
    """One call, as a WSGI server makes it (PEP 3333)."""
    told: list[Any] = []

    def start(status: str, headers: object, *_: object) -> Callable[[bytes], object]:  # noqa: ARG001 - PEP 3333
        told.append(status)
        return told.append

    chunks: Any = app.wsgi_app(environ, start)
    try:
        body = b"".join(chunks)
    finally:
        if hasattr(chunks, "close"):
            chunks.close()
    if not told[-1].startswith("20"):
        raise RuntimeError(f"{told[-1]}: {body[:300]!r}")
    return body
