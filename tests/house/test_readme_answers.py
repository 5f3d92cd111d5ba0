"""What the README shows is what the demo answers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.house.readme import Call, agrees, calls, named, readme
from tests.support.keys import without_key

QUESTIONS = {
    "/v1/fit": "GET",
    "/v1/fit-checks": "POST",
    "/v1/fit-checks/batch": "POST",
    "/v1/units/": "GET",
    "/v1/boards/": "GET",
    "/v1/parts": "GET",
    "/v1/models": "GET",
    "/v1/events": "POST",
    "/v1/sale-checks": "POST",
    "/v1/sale-checks/the-CHECK/completion": "POST",
}
"""What a reader has to find a curl line for."""


@pytest.fixture
def client(demo_app: Flask) -> FlaskClient:
    """It sends no key that the README does not show."""
    return without_key(demo_app)


def ask(client: FlaskClient, call: Call) -> TestResponse:
    return client.open(call.target, method=call.method, headers=list(call.headers), data=call.body)


def check(call: Call, response: TestResponse) -> None:
    """The status is the one that is told, or a success; the body is the one that is shown."""
    told = range(200, 300) if call.status is None else (call.status,)
    assert response.status_code in told, f"{call.line}\n{response.text}"
    if call.shown is not None and response.is_json:
        assert agrees(json.loads(call.shown), response.json), f"{call.line}\n{response.text}"
    elif call.shown is not None:
        assert call.shown.strip() == response.text.strip(), call.line


def test_every_curl_line_does_what_the_readme_says(world_app: Flask, subtests: pytest.Subtests) -> None:
    """In a world of its own, in the order of the README: some of its calls write."""
    client, ids = without_key(world_app), dict[str, str]()
    for call in calls(readme()):
        with subtests.test(call.line):
            response = ask(client, replace(call, target=filled(call.target, ids)))
            check(call, response)
            if call.names:
                ids[named(call.names)] = response.get_json()["id"]


def filled(target: str, ids: Mapping[str, str]) -> str:
    for name, value in ids.items():
        target = target.replace(name, value)
    return target


@pytest.mark.parametrize("question", QUESTIONS)
def test_there_is_a_curl_line_for_each_question(question: str) -> None:
    asked = {(call.method, call.target.partition("?")[0]) for call in calls(readme())}
    method = QUESTIONS[question]
    assert any(
        verb == method and (path == question or (question.endswith("/") and path.startswith(question)))
        for verb, path in asked
    )


def test_a_wrong_answer_is_noticed(client: FlaskClient) -> None:
    text = "```sh\ncurl -s http://127.0.0.1:8000/healthz\n```\n```json\n{}\n```\n"
    (call,) = calls(text)
    response = ask(client, call)
    check(call, response)
    (wrong,) = calls(text.replace("{}", '{"never": 1}'))
    with pytest.raises(AssertionError):
        check(wrong, response)
    (missing,) = calls(text.replace("healthz", "nowhere"))
    with pytest.raises(AssertionError):
        check(missing, ask(client, missing))
