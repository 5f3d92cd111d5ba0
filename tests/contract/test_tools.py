"""The tools for a chat: few, safe, flat, each with its meaning, and calls that the service answers."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient

import service.demo
from service.api.app import described
from service.api.document.tools import CHATS, tools
from service.cli.main import main

DEMO = Path(service.demo.__file__).with_name("catalogue.yaml")
NAME = re.compile(r"[a-zA-Z0-9_-]{1,64}\Z")
MOST_TOOLS = 5
MOST_PARAMETERS = 5
SCALARS = {"string", "integer", "number", "boolean"}


@cache
def document() -> dict[str, Any]:
    return described()


@cache
def listed() -> list[dict[str, Any]]:
    return tools(document(), {})


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


def test_with_a_catalogue_the_list_says_what_may_be_named(
    capsys: pytest.CaptureFixture[str], client: FlaskClient
) -> None:
    assert main(["openapi", "--tools", "--catalogue", str(DEMO)]) == 0
    printed = {each["function"]["name"]: each["function"] for each in json.loads(capsys.readouterr().out)}
    told = printed["check_upgrade"]["parameters"]["properties"]
    assert {"plover-40", "wren-8"} <= set(told["model"]["enum"])
    for want in told["want"]["enum"]:
        asked = client.get("/v1/upgrades", query_string={"model": told["model"]["enum"][0], "want": want})
        assert asked.status_code == 200, asked.get_json()
    without = [
        {**each, "parameters": {**each["parameters"], "properties": _without_choice(each)}}
        for each in printed.values()
    ]
    assert without == [each["function"] for each in listed()]


def _without_choice(function: dict[str, Any]) -> dict[str, Any]:
    """Its parameters, without what the catalogue gave them."""
    plain = {
        name: told
        for each in listed()
        if each["function"]["name"] == function["name"]
        for name, told in each["function"]["parameters"]["properties"].items()
    }
    return {
        name: {key: value for key, value in told.items() if key != "enum" or "enum" in plain[name]}
        for name, told in function["parameters"]["properties"].items()
    }


def test_a_catalogue_with_faults_or_without_tools_is_told(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    faulty = tmp_path / "c.yaml"
    faulty.write_text("format: 1\n", encoding="utf-8")
    assert main(["openapi", "--tools", "--catalogue", str(faulty)]) == 2
    assert f"'catalogue check {faulty}' tells them" in capsys.readouterr().err
    assert main(["openapi", "--catalogue", str(DEMO)]) == 2
    assert "goes with --tools" in capsys.readouterr().err
