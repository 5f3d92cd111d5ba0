"""Every operation, with every kind of key: who is let in and who is not (OWASP API2, API5).

The table is made of the app's own addresses; what each of them needs is written down by hand in `operations`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import timedelta

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import Engine
from werkzeug.test import TestResponse

from service.api.document.security import SCOPES
from service.usecases.caller import Scope
from service.usecases.key_text import KeyText, new_key
from service.usecases.keys import make_key, revoke_key
from tests.access.operations import ANSWERED, LET_IN, NEEDED, REACHING
from tests.api.problem_shape import problem_of
from tests.support.keys import OFTEN, a_key, bearer

CHALLENGE = 'Bearer realm="boardfit"'
NOT_VALID = f'{CHALLENGE}, error="invalid_token"'
GUARDED = [name for name, scope in NEEDED.items() if scope is not None]


def test_every_operation_stands_in_the_tables(shop_app: Flask) -> None:
    names = {endpoint.rpartition(".")[2] for endpoint in shop_app.view_functions}
    assert names == set(NEEDED) == set(REACHING)
    addresses = shop_app.url_map.bind("localhost")
    for name, call in REACHING.items():
        path, _, query = call.target.partition("?")
        assert addresses.match(path, method=call.method, query_args=query)[0].rpartition(".")[2] == name


def reach(client: FlaskClient, name: str, key: str | None, method: str | None = None) -> TestResponse:
    call = REACHING[name]
    headers = {} if key is None else bearer(key)
    return client.open(call.target, method=method or call.method, headers=headers, **call.sent)


@pytest.fixture(scope="module")
def good(shop_engine: Engine) -> Mapping[Scope, str]:
    """For each scope a key that is good for it alone."""
    return {scope: a_key(shop_engine, scope) for scope in Scope}


@pytest.fixture(scope="module")
def public(shop_engine: Engine) -> str:
    return a_key(shop_engine, public=True)


def _expired(engine: Engine) -> str:
    text, _ = make_key(engine, owner="x", scopes=tuple(Scope), rate=OFTEN, lasts=timedelta(microseconds=-1))
    return text.written()


def _revoked(engine: Engine) -> str:
    text, key = make_key(engine, owner="x", scopes=tuple(Scope), rate=OFTEN)
    revoke_key(engine, key.id)
    return text.written()


def _with_another_secret(engine: Engine) -> str:
    text, _ = make_key(engine, owner="x", scopes=tuple(Scope), rate=OFTEN)
    return KeyText(text.id, new_key().secret).written()


BAD: Mapping[str, tuple[Callable[[Engine], str | None], str, str]] = {
    "none": (lambda _: None, "key_missing", CHALLENGE),
    "unknown": (lambda _: new_key().written(), "key_not_valid", NOT_VALID),
    "of another secret": (_with_another_secret, "key_not_valid", NOT_VALID),
    "mistyped": (lambda engine: _mistyped(a_key(engine, *Scope)), "key_not_valid", NOT_VALID),
    "cut": (lambda engine: a_key(engine, *Scope)[:-1], "key_not_valid", NOT_VALID),
    "expired": (_expired, "key_not_valid", NOT_VALID),
    "revoked": (_revoked, "key_not_valid", NOT_VALID),
}


def _mistyped(key: str) -> str:
    return key[:20] + ("a" if key[20] != "a" else "b") + key[21:]


@pytest.fixture(scope="module")
def bad(shop_engine: Engine) -> Mapping[str, str | None]:
    return {kind: make(shop_engine) for kind, (make, _, _) in BAD.items()}


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("name", GUARDED)
def test_nobody_is_let_in_without_a_good_key(
    client: FlaskClient, bad: Mapping[str, str | None], name: str, kind: str
) -> None:
    _, code, challenge = BAD[kind]
    response = reach(client, name, bad[kind])
    problem = problem_of(response)
    assert (response.status_code, problem["code"]) == (401, code)
    assert response.headers["WWW-Authenticate"] == challenge
    assert "RateLimit" not in response.headers


@pytest.mark.parametrize("scope", Scope)
@pytest.mark.parametrize("name", GUARDED)
def test_a_key_is_good_for_its_own_scope_alone(
    client: FlaskClient, good: Mapping[Scope, str], name: str, scope: Scope
) -> None:
    response = reach(client, name, good[scope])
    if scope.value == NEEDED[name]:
        assert response.status_code in LET_IN.get(name, ANSWERED), response.text
    else:
        assert (response.status_code, problem_of(response)["code"]) == (403, "insufficient_scope")
        told = f'{CHALLENGE}, error="insufficient_scope", scope="{NEEDED[name]}"'
        assert response.headers["WWW-Authenticate"] == told
    assert response.headers["RateLimit"].startswith('"default";r=')


@pytest.mark.parametrize("name", GUARDED)
def test_a_public_key_may_ask_and_nothing_else(client: FlaskClient, public: str, name: str) -> None:
    status = reach(client, name, public).status_code
    assert status == (200 if NEEDED[name] == "ask" else 403)


@pytest.mark.parametrize("name", [name for name, scope in NEEDED.items() if scope is None])
@pytest.mark.parametrize("kind", BAD)
def test_what_needs_no_key_looks_at_none(
    client: FlaskClient, bad: Mapping[str, str | None], name: str, kind: str
) -> None:
    response = reach(client, name, bad[kind])
    assert response.status_code == 200
    assert "RateLimit" not in response.headers


@pytest.mark.parametrize("name", [name for name in GUARDED if REACHING[name].method == "GET"])
def test_head_is_guarded_as_get_is(client: FlaskClient, good: Mapping[Scope, str], name: str) -> None:
    assert reach(client, name, None, "HEAD").status_code == 401
    allowed = reach(client, name, good[Scope(NEEDED[name] or "")], "HEAD").status_code
    assert allowed in LET_IN.get(name, ANSWERED)


@pytest.mark.parametrize("name", GUARDED)
def test_options_needs_no_key_and_counts_for_none(
    client: FlaskClient, good: Mapping[Scope, str], name: str
) -> None:
    for key in (None, good[Scope.ASK]):
        response = client.open(REACHING[name].target, method="OPTIONS", headers=bearer(key) if key else {})
        assert response.status_code == 200
        assert REACHING[name].method in response.headers["Allow"]
        assert "RateLimit" not in response.headers


@pytest.mark.parametrize("name", [name for name in GUARDED if REACHING[name].method == "POST"])
def test_the_key_comes_before_the_body(client: FlaskClient, name: str) -> None:
    for sent in ({"data": b"\xff{", "content_type": "image/png"}, {"data": b"x" * 2_000_000}):
        response = client.post(REACHING[name].target, **sent)
        assert response.status_code == 401


def test_an_address_that_does_not_exist_needs_no_key(client: FlaskClient) -> None:
    assert problem_of(client.get("/v1/nothing"))["code"] == "not_found"
    assert problem_of(client.delete("/v1/parts"))["code"] == "method_not_allowed"


AUTHORIZATION = [
    ("Basic dXNlcjpwYXNz", "key_missing"),
    ("Bearer", "key_missing"),
    ("Bearer ", "key_missing"),
    ("", "key_missing"),
    ("Bearer x", "key_not_valid"),
    ("Bearer {key} {key}", "key_not_valid"),
    ("Bearer {key},Bearer {key}", "key_not_valid"),
    ('Bearer "{key}"', "key_not_valid"),
    ("Bearer {key}\u00e4", "key_not_valid"),
    ("Token {key}", "key_missing"),
    ("{key}", "key_missing"),
]


@pytest.mark.parametrize(("written", "code"), AUTHORIZATION)
def test_a_key_is_sent_in_one_way(
    client: FlaskClient, good: Mapping[Scope, str], written: str, code: str
) -> None:
    field = written.format(key=good[Scope.ASK])
    response = client.get("/v1/models", headers={"Authorization": field})
    assert (response.status_code, problem_of(response)["code"]) == (401, code)


@pytest.mark.parametrize("written", ["Bearer {}", "bearer {}", "BEARER   {}"])
def test_the_scheme_is_read_without_case(
    client: FlaskClient, good: Mapping[Scope, str], written: str
) -> None:
    field = written.format(good[Scope.ASK])
    assert client.get("/v1/models", headers={"Authorization": field}).status_code == 200


@pytest.mark.parametrize("query", ["key={}", "board={}", "access_token=whatever", "api_key=x", "a=b&{}=1"])
def test_a_key_in_an_address_is_refused_and_not_repeated(
    client: FlaskClient, good: Mapping[Scope, str], query: str
) -> None:
    key = good[Scope.ASK]
    for target in ("/v1/models", "/v1/fit", "/healthz", "/openapi.yaml"):
        response = client.get(f"{target}?{query.format(key)}", headers=bearer(key))
        assert (response.status_code, problem_of(response)["code"]) == (400, "key_in_query")
        assert key not in response.text
        assert "Authorization: Bearer" in response.text


def test_an_app_with_an_address_that_says_no_scope_is_not_made() -> None:
    from service.api.access import guard  # noqa: PLC0415 - only here

    app = Flask("open", static_folder=None)
    app.add_url_rule("/forgotten", "forgotten", lambda: "")
    with pytest.raises(ValueError, match="no scope is said for forgotten"):
        guard.register(app, access=None)  # type: ignore[arg-type] # it is not made, so nobody is let in


def test_every_scope_is_explained() -> None:
    assert set(SCOPES) == set(Scope)
