"""Asks the demo's world for the document's examples."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import MapAdapter
from werkzeug.test import TestResponse

from service.api.document.examples import Examples
from service.demo.questions import EXAMPLES, Call

FIXED: Mapping[str, str] = {
    "recorded_at": "2026-01-05T10:00:00Z",
    "made_at": "2026-01-05T10:00:00Z",
    "valid_until": "2026-01-19",
}
"""What is told anew each time, by member: an example that is asked again shall be the same."""
SOME_ID = "sc-3f6c1d2e4b5a69780c1d2e3f"
"""Stands for an id that is made up anew each time."""
Answered = tuple[Call, TestResponse]
_MADE_UP = re.compile(r"sc-[0-9a-f]{24}")


def answers(client: FlaskClient) -> Iterator[Answered]:
    """Every example with its answer, in order: those that write come last."""
    ids: dict[str, str] = {}
    for call in EXAMPLES:
        target = call.target.format_map(ids)
        response = client.open(target, method=call.method, json=call.body, headers=call.headers)
        yield call, response
        if call.keeps:
            ids[call.keeps] = response.get_json()["id"]


def asked(client: FlaskClient) -> Examples:
    """Every example with its real answer. Raises ValueError for one that is not answered with 200 or 201."""
    return examples(client.application, answers(client))


def examples(app: Flask, answered: Iterable[Answered]) -> Examples:
    """The examples of answers that were given by an app; as `asked`."""
    addresses = app.url_map.bind("localhost")
    found: Examples = {}
    for call, response in answered:
        if response.status_code not in (200, 201):
            raise ValueError(f"the example {call.name} is answered with {response.status}")
        found.setdefault(call.operation, {})[call.name] = _example(addresses, call, response)
    return found


def _example(addresses: MapAdapter, call: Call, response: TestResponse) -> dict[str, Any]:
    _, path = addresses.match(response.request.path, method=call.method)
    sent = {"path": dict(path), "query": dict(call.query or {}), "header": call.headers, "body": call.body}
    told = {name: value for name, value in sent.items() if value}
    answer = {"answer": response.get_json()} if response.is_json else {}
    example: dict[str, Any] = _settled({"summary": call.asks, **told, **answer})
    return example


def _settled(value: Any) -> Any:
    """An example with what is told anew each time put to its fixed value."""
    if isinstance(value, Mapping):
        return {name: FIXED.get(name) or _settled(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_settled(inner) for inner in value]
    return SOME_ID if isinstance(value, str) and _MADE_UP.fullmatch(value) else value
