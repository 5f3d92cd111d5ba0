"""What the document says of keys is what the service does."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from service.api.app import described
from service.usecases.caller import Scope
from tests.access.operations import NEEDED

Node = dict[str, Any]
BESIDE = {"document", "docs", "docs_file", "metrics"}
"""The document is not part of itself, nor is what is for people and for machinery."""
NAMES = [name for name in NEEDED if name not in BESIDE]
REFUSED = {"401": {"WWW-Authenticate"}, "403": {"WWW-Authenticate"}, "429": {"Retry-After"}}
RATES = {"RateLimit", "RateLimit-Policy"}


@cache
def document() -> Node:
    return described()


def operation(name: str) -> Node:
    items = document()["paths"].values()
    (found,) = (
        each
        for item in items
        for each in item.values()
        if isinstance(each, dict) and each["operationId"] == name
    )
    return found


def test_a_key_is_a_bearer_token_and_needed_unless_said_otherwise() -> None:
    scheme = document()["components"]["securitySchemes"]["key"]
    assert (scheme["type"], scheme["scheme"]) == ("http", "bearer")
    assert all(f"`{scope}`" in scheme["description"] for scope in Scope)
    assert document()["security"] == [{"key": []}]


@pytest.mark.parametrize("name", NAMES)
def test_an_operation_tells_its_scope_for_programs_and_for_people(name: str) -> None:
    scope = NEEDED[name]
    assert operation(name)["security"] == ([] if scope is None else [{"key": [scope]}])
    told = "Needs no key." if scope is None else f"Needs a key with the scope `{scope}`."
    assert operation(name)["description"].endswith(told)


@pytest.mark.parametrize("name", NAMES)
def test_an_operation_tells_how_it_refuses_and_what_is_left(name: str) -> None:
    responses = operation(name)["responses"]
    if NEEDED[name] is None:
        assert not set(REFUSED) & set(responses)
        assert not any(RATES & set(response["headers"]) for response in responses.values())
        return
    for status, headers in REFUSED.items():
        assert headers <= set(responses[status]["headers"])
    for status, response in responses.items():
        assert (set(response["headers"]) >= RATES) == (int(status) < 500)
