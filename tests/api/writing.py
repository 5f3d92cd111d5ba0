"""Writing to the ledger over HTTP, as tests do it."""

from __future__ import annotations

from itertools import count
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.api.problem_shape import problem_of

_KEYS = count(1)


def told(kind: str, **data: Any) -> dict[str, Any]:
    """An event as a client tells it."""
    return {"kind": kind, "data": data}


def send(client: FlaskClient, *events: dict[str, Any], key: str | None = None, **more: Any) -> TestResponse:
    """Send the events of one job; a new key unless one is given. `more`: `expected`, `headers`."""
    headers = {"Idempotency-Key": key or f"test-{next(_KEYS):08d}", **more.pop("headers", {})}
    return client.post("/v1/events", json={"events": list(events), **more}, headers=headers)


def record(client: FlaskClient, *events: dict[str, Any], **more: Any) -> dict[str, Any]:
    """Send events that have to be taken; the answer."""
    response = send(client, *events, **more)
    assert response.status_code == 201, response.get_data(as_text=True)
    found: dict[str, Any] = response.get_json()
    return found


def refused(client: FlaskClient, *events: dict[str, Any], status: int = 409, **more: Any) -> dict[str, Any]:
    """Send events that have to be refused, with nothing recorded; the problem."""
    before = last_number(client)
    response = send(client, *events, **more)
    assert response.status_code == status, response.get_data(as_text=True)
    assert last_number(client) == before
    return problem_of(response)


def last_number(client: FlaskClient) -> int:
    """The number of the last event."""
    after = 0
    while items := client.get(f"/v1/events?after={after}&page_size=100").get_json()["items"]:
        after = items[-1]["seq"]
    return after


def history(client: FlaskClient, kind: str, serial: str) -> list[dict[str, Any]]:
    """All that happened to a `board` or a `unit`, page by page."""
    found: list[dict[str, Any]] = []
    target: str | None = f"/v1/{kind}s/{serial}/history?page_size=3"
    while target:
        response = client.get(target)
        assert response.status_code == 200, response.get_data(as_text=True)
        found += response.get_json()["items"]
        target = response.headers["Link"].split(">")[0][1:] if "Link" in response.headers else None
    return found
