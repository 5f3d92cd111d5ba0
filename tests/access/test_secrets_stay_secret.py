"""A key is written nowhere but where it is made: not into logs, answers or the store (OWASP API2, API8)."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import Engine

from service.usecases.caller import Scope
from service.usecases.key_text import KeyText, new_key
from service.usecases.keys import make_key
from service.usecases.shop import Shop
from tests.access.operations import REACHING
from tests.support.keys import OFTEN, SUITE, app_without_database, bearer

CALLS: list[tuple[str, str, Mapping[str, Any]]] = [
    *((call.method, call.target, call.sent) for call in REACHING.values()),
    ("GET", "/v1/nothing", {}),
    ("DELETE", "/v1/parts", {}),
    ("GET", "/v1/parts?role=none", {}),
    ("POST", "/v1/fit-checks", {"data": b"{"}),
]


@pytest.fixture
def everything_is_logged(caplog: pytest.LogCaptureFixture) -> pytest.LogCaptureFixture:
    caplog.set_level(logging.DEBUG)
    for name in ("boardfit", "sqlalchemy.engine", "sqlalchemy.pool", "werkzeug", "flask"):
        caplog.set_level(logging.DEBUG, logger=name)
    return caplog


def test_no_log_and_no_answer_has_a_key(
    client: FlaskClient, shop_engine: Engine, everything_is_logged: pytest.LogCaptureFixture
) -> None:
    good, _ = make_key(shop_engine, owner="x", scopes=tuple(Scope), rate=OFTEN)
    keys = [good, KeyText(good.id, new_key().secret), new_key()]
    for key in keys:
        written = (key.written(), key.written()[:-1])
        for method, target, sent in CALLS:
            for each in written:
                answer = client.open(target, method=method, headers=bearer(each), **sent)
                assert key.secret not in answer.text
                assert key.secret not in str(answer.headers)
    told = "\n".join(record.getMessage() for record in everything_is_logged.records)
    assert "INSERT INTO" in told, "statements are logged"
    assert not [key for key in keys if key.secret in told]


def test_an_error_inside_logs_no_key(everything_is_logged: pytest.LogCaptureFixture) -> None:
    """What fails is logged without the address, and with no header field of the request."""

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    shop = Shop(catalogue=fail, catalogue_at=fail, gather=fail, reader=fail, database=fail, ready=fail)  # type: ignore[arg-type] # each only ever raises
    app = app_without_database(shop)
    answer = app.test_client().get("/v1/parts", headers={"X-Request-Id": "till-7"})
    assert answer.status_code == 500
    told = everything_is_logged.text
    assert "ZeroDivisionError" in told
    (record,) = (each for each in everything_is_logged.records if each.levelno == logging.ERROR)
    about = {name: vars(record)[name] for name in ("request", "key", "operation")}
    assert about == {"request": "till-7", "key": SUITE.id, "operation": "find_parts"}
    assert SUITE.secret not in told


def test_a_key_that_is_sent_in_a_wrong_place_is_not_logged(
    client: FlaskClient, everything_is_logged: pytest.LogCaptureFixture
) -> None:
    key = new_key()
    assert client.get(f"/v1/models?key={key.written()}").status_code == 400
    answer = client.get("/healthz", headers={"X-Request-Id": key.written()})
    assert key.secret not in answer.headers["X-Request-Id"]
    assert key.secret not in everything_is_logged.text
