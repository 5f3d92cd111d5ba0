"""Asks the demo's world for the document's examples."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient
from werkzeug.routing import MapAdapter

from service.api.document.examples import Examples
from service.demo.questions import EXAMPLES, Call


def asked(client: FlaskClient) -> Examples:
    """Every example with its real answer. Raises ValueError for one that is not answered with 200."""
    addresses = client.application.url_map.bind("localhost")
    found: Examples = {}
    for call in EXAMPLES:
        found.setdefault(call.operation, {})[call.name] = _example(client, addresses, call)
    return found


def _example(client: FlaskClient, addresses: MapAdapter, call: Call) -> dict[str, Any]:
    method = "GET" if call.body is None else "POST"
    response = client.open(call.target, method=method, json=call.body)
    if response.status_code != 200:
        raise ValueError(f"the example {call.name} is answered with {response.status}")
    _, path = addresses.match(call.path, method=method)
    sent = {"path": dict(path), "query": dict(call.query or {}), "body": call.body}
    return {
        "summary": call.asks,
        **{name: value for name, value in sent.items() if value},
        "answer": response.get_json(),
    }
