"""The tools for a chat: few, safe, flat, each with its meaning, and calls that the service answers."""

from __future__ import annotations

import json
import re
from functools import cache
from typing import Any
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

from service.api.app import described
from service.api.document.tools import CHATS, MOST_PARAMETERS, MOST_TOOLS, tools
from service.cli.main import main

NAME = re.compile(r"[a-zA-Z0-9_-]{1,64}\Z")
SCALARS = {"string", "integer", "number", "boolean"}


@cache
def document() -> dict[str, Any]:
    return described()


@cache
def listed() -> list[dict[str, Any]]:
    return tools(document())


def test_they_are_few_and_each_is_there() -> None:
    assert {each["function"]["name"] for each in listed()} == set(CHATS)
    assert 1 <= len(listed()) <= MOST_TOOLS


@pytest.mark.parametrize("name", CHATS)
def test_a_tool_is_named_flat_and_explained(name: str) -> None:
    (tool,) = (each for each in listed() if each["function"]["name"] == name)
    function = tool["function"]
    assert NAME.match(function["name"])
    assert "Use it when" in function["description"]
    assert len(function["description"]) <= 1_024
    assert 1 <= len(function["parameters"]["properties"]) <= MOST_PARAMETERS
    assert set(function["parameters"]["required"]) <= set(function["parameters"]["properties"])
    for told in function["parameters"]["properties"].values():
        assert told["type"] in SCALARS
        assert told["description"]
    assert re.findall(r"\{(\w+)\}", tool["call"]["path"]) == [
        name for name in function["parameters"]["required"] if f"{{{name}}}" in tool["call"]["path"]
    ]


def test_they_need_no_more_than_asking() -> None:
    for tool in listed():
        operation = document()["paths"][tool["call"]["path"]]["get"]
        assert operation["security"] == [{"key": ["ask"]}]
        assert "chat" in operation["tags"]
        assert CHATS[operation["operationId"]].when in operation["description"]


def test_no_other_operation_is_for_a_chat() -> None:
    tagged = {
        operation["operationId"]
        for item in document()["paths"].values()
        for operation in item.values()
        if isinstance(operation, dict) and "chat" in operation["tags"]
    }
    assert tagged == set(CHATS)


@pytest.mark.parametrize("name", CHATS)
def test_what_is_not_fixed_can_be_filled_from_its_examples(name: str, client: FlaskClient) -> None:
    """The examples of the parameters of one tool together make a call that is answered."""
    (tool,) = (each for each in listed() if each["function"]["name"] == name)
    sent = {
        key: told["examples"][0]
        for key, told in tool["function"]["parameters"]["properties"].items()
        if "examples" in told
    }
    path = tool["call"]["path"]
    for key in re.findall(r"\{(\w+)\}", path):
        path = path.replace(f"{{{key}}}", quote(str(sent.pop(key)), safe=""))
    if name == "check_fit":
        sent["part"] = "MN-4100"
    response = client.get(path, query_string={**tool["call"]["query"], **sent})
    assert response.status_code == 200, response.get_json()


def test_the_command_prints_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["openapi", "--tools"]) == 0
    assert json.loads(capsys.readouterr().out) == listed()
