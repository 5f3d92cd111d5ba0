"""Every kind of response is clean HTTP, by httplint (a public linter of whole responses).

It checks neither `Allow` on 405 nor `Vary`; `test_headers` asserts those by hand.
"""

from __future__ import annotations

from email.utils import formatdate
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import Engine
from werkzeug.test import TestResponse

from service.demo import serials as s
from service.settings import Settings
from service.usecases.caller import Scope
from service.wiring import app_on
from tests.support.keys import a_key, bearer, without_key

httplint = pytest.importorskip(
    "httplint", reason="its libraries are too big for the extra `test`; CI runs it"
)
levels = pytest.importorskip("httplint.note").levels

TEXT = {"Accept": "text/plain"}
FIT = f"/v1/fit?board={s.USED_MAIN_60}&unit={s.CUSTOMER_PLOVER_40}"

CALLS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "fit": ("GET", FIT, {}),
    "fit as text": ("GET", FIT, {"headers": TEXT}),
    "fit head": ("HEAD", FIT, {}),
    "fit of a set": ("POST", "/v1/fit-checks", {"json": {"unit": {"model": "wren-4"}}}),
    "batch": ("POST", "/v1/fit-checks/batch", {"json": {"questions": [{}]}}),
    "unit": ("GET", f"/v1/units/{s.CUSTOMER_WREN_8}", {}),
    "unit parts": ("GET", f"/v1/units/{s.CUSTOMER_WREN_8}/parts", {}),
    "board": ("GET", f"/v1/boards/{s.USED_MAIN_60}", {}),
    "parts, first page": ("GET", "/v1/parts?page_size=2", {}),
    "part": ("GET", "/v1/parts/MN-4100", {}),
    "models as text": ("GET", "/v1/models", {"headers": TEXT}),
    "model": ("GET", "/v1/models/wren-4", {}),
    "alive": ("GET", "/healthz", {}),
    "ready": ("GET", "/readyz", {}),
    "document": ("GET", "/openapi.yaml", {}),
    "documentation page": ("GET", "/docs", {}),
    "a file of it": ("GET", "/docs/swagger-ui.css", {}),
    "picture": ("GET", f"/v1/units/{s.DISAGREEING_PLOVER_40}/picture", {}),
    "options": ("OPTIONS", "/v1/fit", {}),
    "400": ("GET", "/v1/parts?role=a&role=b", {}),
    "400 of a key in the address": ("GET", "/v1/parts?key=bfk_x", {}),
    "401 without a key": ("GET", "/v1/parts", {"headers": {"Authorization": ""}}),
    "401 with a wrong key": ("GET", "/v1/parts", {"headers": {"Authorization": "Bearer wrong"}}),
    "404 of routing": ("GET", "/v1/nothing", {}),
    "404 of a unit": ("GET", "/v1/units/nothing", {}),
    "405": ("PUT", "/v1/parts", {}),
    "406": ("GET", "/v1/parts", {"headers": {"Accept": "image/png"}}),
    "415": ("POST", "/v1/fit-checks", {"data": "a=b"}),
    "422": ("GET", "/v1/parts?role=nothing", {}),
}


def lint(response: TestResponse, method: str, target: str, accept: str = "*/*") -> list[str]:
    """The notes that a careful reader would complain about; that a 400 is one is not among them."""
    request = httplint.HttpRequestLinter()
    request.process_request_topline(method.encode(), b"http://localhost" + target.encode(), b"1.1")
    request.process_headers([(b"Host", b"localhost"), (b"Accept", accept.encode())])
    request.finish_content(complete=True)
    linter = httplint.HttpResponseLinter(no_content=method == "HEAD")
    linter.request = request
    linter.process_response_topline(b"1.1", str(response.status_code).encode(), b"")
    headers = [(name.encode(), value.encode()) for name, value in response.headers.items()]
    # The server in front adds the date; there is none between a test client and the app.
    linter.process_headers([*headers, (b"Date", formatdate(usegmt=True).encode())])
    linter.feed_content(response.get_data())
    linter.finish_content(complete=True)
    return [f"{note.__class__.__name__}: {note.summary}" for note in linter.notes if _counts(note)]


def _counts(note: Any) -> bool:
    return note.level in (levels.BAD, levels.WARN) and note.__class__.__name__ != "STATUS_BAD_REQUEST"


@pytest.mark.parametrize("name", CALLS)
def test_a_response_is_clean(client: FlaskClient, name: str) -> None:
    method, target, sent = CALLS[name]
    accept = sent.get("headers", {}).get("Accept", "*/*")
    assert lint(client.open(target, method=method, **sent), method, target, accept) == []


def test_a_403_and_a_429_are_clean(demo_engine: Engine) -> None:
    client = without_key(app_on(demo_engine, Settings(key_check_seconds=0)))
    headers = bearer(a_key(demo_engine, Scope.SELL, rate=1))
    for status in (403, 429):
        response = client.get("/v1/parts", headers=headers)
        assert response.status_code == status
        assert lint(response, "GET", "/v1/parts") == []


def test_a_304_is_clean(client: FlaskClient) -> None:
    tag = client.get(FIT).headers["ETag"]
    response = client.get(FIT, headers={"If-None-Match": tag})
    assert response.status_code == 304
    assert lint(response, "GET", FIT) == []


def test_the_linter_finds_what_is_wrong(client: FlaskClient) -> None:
    response = client.get("/healthz")
    response.headers["ETag"] = "unquoted"
    del response.headers["Cache-Control"]
    found = lint(response, "GET", "/healthz")
    assert any("BAD_SYNTAX" in note for note in found)
    assert any("FRESHNESS" in note for note in found)
