"""Web pages of other origins may ask only where a setting says so.

Source: the Fetch standard of the WHATWG, section "HTTP extensions" (CORS protocol); read there, and stated
here by hand: an origin is compared byte by byte, a preflight is an OPTIONS request with `Origin` and
`Access-Control-Request-Method` and carries no credentials, and it has to be answered with success.
"""

from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine
from werkzeug.test import TestResponse

from service.settings import Settings, SettingsError, from_environment
from service.wiring import app_on
from tests.support.keys import a_key, bearer, without_key

SHOP, LOCAL = "https://shop.example", "http://localhost:3000"
ALLOWED = f"{SHOP}, {LOCAL}"
OTHERS = [
    "https://shop.example.evil.example",
    "https://shop.example:8443",
    "http://shop.example",
    "https://SHOP.example",
    "https://shopxexample",
    "https://shop.example/",
    "null",
    "",
]
ADDRESS = "/v1/models/wren-4"
PREFLIGHT = {"Access-Control-Request-Method": "GET", "Access-Control-Request-Headers": "authorization"}
EXPOSED = {
    "etag",
    "idempotency-replayed",
    "link",
    "location",
    "ratelimit",
    "ratelimit-policy",
    "retry-after",
    "traceresponse",
    "www-authenticate",
    "x-request-id",
}


@pytest.fixture(scope="module")
def open_app(shop_engine: Engine) -> Flask:
    settings = from_environment({"BOARDFIT_CORS_ORIGINS": ALLOWED, "BOARDFIT_KEY_CHECK_SECONDS": "0"})
    return app_on(shop_engine, settings)


@pytest.fixture
def page(open_app: Flask) -> FlaskClient:
    return without_key(open_app)


@pytest.fixture(scope="module")
def key(shop_engine: Engine) -> dict[str, str]:
    return bearer(a_key(shop_engine))


def told(value: str | None) -> set[str]:
    """The members of a list field, without case."""
    return {each.strip().lower() for each in (value or "").split(",") if each.strip()}


def cors_fields(answer: TestResponse) -> set[str]:
    return {name for name, _ in answer.headers if name.startswith("Access-Control-")}


def test_it_is_off_by_default(client: FlaskClient, key: dict[str, str]) -> None:
    for method, headers in (("GET", key), ("OPTIONS", PREFLIGHT), ("GET", {})):
        answer = client.open(ADDRESS, method=method, headers={"Origin": SHOP, **headers})
        assert cors_fields(answer) == set()
        assert "origin" not in told(answer.headers.get("Vary"))


@pytest.mark.parametrize("origin", [SHOP, LOCAL])
def test_a_page_that_may_ask_can_read_the_answer(page: FlaskClient, key: dict[str, str], origin: str) -> None:
    answer = page.get(ADDRESS, headers={"Origin": origin, **key})
    assert answer.status_code == 200
    assert answer.headers["Access-Control-Allow-Origin"] == origin
    assert told(answer.headers["Access-Control-Expose-Headers"]) == EXPOSED
    assert "Access-Control-Allow-Credentials" not in answer.headers


@pytest.mark.parametrize(
    ("target", "sent", "status"),
    [
        (ADDRESS, "", 401),
        ("/v1/nothing", "", 404),
        ("/v1/models?x=1", "key", 422),
        ("/v1/events", "key", 403),
    ],
)
def test_it_can_read_an_error_too(
    page: FlaskClient, key: dict[str, str], target: str, sent: str, status: int
) -> None:
    answer = page.get(target, headers={"Origin": SHOP, **(key if sent else {})})
    assert answer.status_code == status
    assert answer.headers["Access-Control-Allow-Origin"] == SHOP


@pytest.mark.parametrize("origin", [SHOP, LOCAL])
@pytest.mark.parametrize(
    ("target", "method"), [(ADDRESS, "GET"), ("/v1/fit-checks", "POST"), ("/v1/events", "POST")]
)
def test_a_preflight_needs_no_key(page: FlaskClient, origin: str, target: str, method: str) -> None:
    asked = "authorization, content-type, idempotency-key, if-none-match, x-request-id"
    headers = {
        "Origin": origin,
        "Access-Control-Request-Method": method,
        "Access-Control-Request-Headers": asked,
    }
    answer = page.options(target, headers=headers)
    assert answer.status_code == 200
    assert answer.headers["Access-Control-Allow-Origin"] == origin
    assert method.lower() in told(answer.headers["Access-Control-Allow-Methods"])
    assert told(asked) <= told(answer.headers["Access-Control-Allow-Headers"])
    assert answer.headers["Access-Control-Max-Age"] == "600"
    assert answer.get_data() == b""


def test_a_plain_options_is_no_preflight(page: FlaskClient) -> None:
    answer = page.options(ADDRESS, headers={"Origin": SHOP})
    assert "Access-Control-Allow-Methods" not in answer.headers


@pytest.mark.parametrize("origin", OTHERS)
def test_other_origins_are_told_nothing(page: FlaskClient, key: dict[str, str], origin: str) -> None:
    for method, headers in (("GET", key), ("OPTIONS", PREFLIGHT)):
        answer = page.open(ADDRESS, method=method, headers={"Origin": origin, **headers})
        assert cors_fields(answer) == set()


@pytest.mark.parametrize("headers", [{}, {"Origin": SHOP}, {"Origin": "https://evil.example"}])
def test_caches_are_told_that_the_origin_matters_whoever_asks(
    page: FlaskClient, key: dict[str, str], headers: dict[str, str]
) -> None:
    for target in (ADDRESS, "/openapi.yaml", "/v1/nothing"):
        assert "origin" in told(page.get(target, headers={**headers, **key}).headers["Vary"])
    assert told(page.get(ADDRESS, headers=key).headers["Vary"]) == {"accept", "accept-language", "origin"}


ORIGINS = [
    ("https://shop.example", {"https://shop.example"}),
    (" https://a.example ,http://b.example:8080", {"https://a.example", "http://b.example:8080"}),
    ("http://[::1]:3000", {"http://[::1]:3000"}),
    ("http://127.0.0.1", {"http://127.0.0.1"}),
    ("none", set()),
]


@pytest.mark.parametrize(("raw", "origins"), ORIGINS)
def test_origins_are_set_exactly(raw: str, origins: set[str]) -> None:
    assert from_environment({"BOARDFIT_CORS_ORIGINS": raw}).allowed_origins == origins
    assert Settings().allowed_origins == set()


@pytest.mark.parametrize(
    "raw",
    [
        "*",
        "null",
        "",
        "shop.example",
        "https://shop.example/",
        "https://shop.example/path",
        "https://Shop.example",
        "https://*.example",
        "https://shop.example:443",
        "http://shop.example:80",
        "ftp://shop.example",
        "https://user@shop.example",
        "https://shop.example:0",
        "https://shop.example,",
        "none,https://shop.example",
        "https://shop.example\nhttps://b.example",
    ],
)
def test_what_no_browser_sends_is_a_fault(raw: str) -> None:
    with pytest.raises(SettingsError, match="is no web origin"):
        from_environment({"BOARDFIT_CORS_ORIGINS": raw})
