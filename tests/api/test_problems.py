"""Every error is a problem, with the right status, a stable code and the headers that its status asks for."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient
from psycopg.errors import ReadOnlySqlTransaction
from sqlalchemy.exc import DataError, IntegrityError, InterfaceError, InternalError, OperationalError

from service.api.problems.kinds import KINDS, PHRASES
from service.domain.ledger.fields import Fault
from service.store.errors import InvalidEvents
from service.usecases.shop import NoCatalogue, Shop
from tests.api.problem_shape import FORMATS, VALIDATOR, Invalid, problem_of
from tests.support.keys import app_without_database

# The two examples of RFC 9457 (sections 3 and 3.1's validation error), by their facts.
OUT_OF_CREDIT = {
    "type": "https://example.com/probs/out-of-credit",
    "title": "You do not have enough credit.",
    "detail": "Your current balance is 30, but that costs 50.",
    "instance": "/account/12345/msgs/abc",
    "balance": 30,
    "accounts": ["/account/12345", "/account/67890"],
}


def test_the_schema_of_rfc_9457_accepts_and_refuses_what_it_should() -> None:
    # Without rfc3986-validator the format check would silently do nothing.
    assert "uri-reference" in FORMATS.checkers
    for good in ({}, OUT_OF_CREDIT, {"type": "tag:example@example.org,2021-09-17:OutOfLuck"}):
        VALIDATOR.validate(good)
    refused: tuple[object, ...] = ({"status": 600}, {"status": "404"}, {"type": 5}, [], {"type": "a b<"})
    for bad in refused:
        with pytest.raises(Invalid):
            VALIDATOR.validate(bad)


@pytest.mark.parametrize("code", KINDS)
def test_a_kind_has_what_a_program_and_a_person_need(code: str) -> None:
    kind = KINDS[code]
    assert re.fullmatch(r"[a-z]+(_[a-z]+)*", code)
    assert kind.status in PHRASES
    assert kind.meaning.endswith(".")
    assert kind.type == "about:blank" or kind.type.startswith("tag:boardfit.example,2026:")


@pytest.mark.parametrize(
    "path", ["/", "/v1", "/v1/", "/v1/models/", "//v1/models", "/v1//models", "/v2/models", "/docs/x"]
)
def test_an_address_that_does_not_exist_is_a_404(client: FlaskClient, path: str) -> None:
    response = client.get(path)
    assert response.status_code == 404
    assert problem_of(response)["code"] == "not_found"


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("POST", "/v1/fit", {"GET", "HEAD", "OPTIONS"}),
        ("DELETE", "/v1/parts/MN-4100", {"GET", "HEAD", "OPTIONS"}),
        ("GET", "/v1/fit-checks", {"POST", "OPTIONS"}),
        ("PATCH", "/v1/fit-checks/batch", {"POST", "OPTIONS"}),
        ("TRACE", "/healthz", {"GET", "HEAD", "OPTIONS"}),
    ],
)
def test_a_405_lists_the_methods_that_are_allowed(
    client: FlaskClient, method: str, path: str, allowed: set[str]
) -> None:
    response = client.open(path, method=method)
    assert response.status_code == 405
    assert problem_of(response)["code"] == "method_not_allowed"
    assert set(response.headers["Allow"].split(", ")) == allowed


def _broken(error: Exception) -> Shop:
    def fail(*_: object) -> None:
        raise error

    return Shop(catalogue=fail, catalogue_at=fail, gather=fail, reader=fail, database=fail, ready=fail)  # type: ignore[arg-type] # each only ever raises


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (OperationalError("SELECT secret", {}, Exception("server closed")), 503, "store_unavailable"),
        (InternalError("SELECT secret", {}, ReadOnlySqlTransaction("secret")), 503, "store_unavailable"),
        (InterfaceError("", {}, Exception("lost"), connection_invalidated=True), 503, "store_unavailable"),
        (InternalError("SELECT secret", {}, Exception("odd")), 500, "internal_error"),
        (IntegrityError("SELECT secret", {}, Exception("odd")), 500, "internal_error"),
        (DataError("SELECT secret", {}, Exception("out of range")), 422, "invalid_request"),
        (OverflowError("too large for SQLite"), 422, "invalid_request"),
        (InvalidEvents([(0, Fault(("data", "board"), "wrong_value"))]), 422, "invalid_request"),
        (NoCatalogue(), 503, "no_catalogue"),
        (ZeroDivisionError("secret"), 500, "internal_error"),
    ],
)
def test_what_goes_wrong_inside_is_told_without_its_insides(error: Exception, status: int, code: str) -> None:
    response = app_without_database(_broken(error)).test_client().get("/v1/parts")
    problem = problem_of(response)
    assert (response.status_code, problem["code"]) == (status, code)
    assert "secret" not in response.get_data(as_text=True)
    assert ("Retry-After" in response.headers) == (status == 503)


def test_readiness_is_a_503_while_the_store_is_away() -> None:
    client = app_without_database(_broken(OperationalError("", {}, Exception("away")))).test_client()
    assert client.get("/readyz").status_code == 503
    assert client.get("/healthz").status_code == 200


def test_the_request_id_of_the_caller_is_taken_over_where_it_is_a_plain_one(client: FlaskClient) -> None:
    assert (
        client.get("/healthz", headers={"X-Request-Id": "till-3.42"}).headers["X-Request-Id"] == "till-3.42"
    )
    for odd in ("a b", "x" * 65, '"', "ä"):
        own = client.get("/healthz", headers={"X-Request-Id": odd}).headers["X-Request-Id"]
        assert re.fullmatch(r"[0-9a-f]{32}", own)
