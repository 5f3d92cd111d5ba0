"""The document is what the code says, its examples are real, and the answers are what it promises."""

from __future__ import annotations

import copy
import os
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
import yaml
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator  # type: ignore[import-untyped] # it carries no types
from packaging.version import Version

from service import __version__
from service.api.app import described
from service.api.document.examples import FILE
from service.api.document.shaping import walk
from service.api.document.written import as_yaml
from service.api.schemas.codes import CLOSED
from service.demo.asking import Answered, examples
from service.demo.questions import EXAMPLES, PICTURES
from tests.house.tree import ROOT, project

Node = dict[str, Any]


@cache
def document() -> Node:
    return described()


def operations() -> Iterator[tuple[str, str, Node]]:
    for path, item in document()["paths"].items():
        for method, operation in item.items():
            if isinstance(operation, dict):
                yield path, method, operation


def test_openapi_yaml_is_what_the_code_writes() -> None:
    written = (ROOT / "openapi.yaml").read_text(encoding="utf-8")
    assert written == as_yaml(document()), "run: python -m service openapi"


def test_the_examples_are_what_the_demo_answers_today(
    client: FlaskClient, example_answers: list[Answered]
) -> None:
    today = as_yaml(examples(client.application, example_answers))
    assert FILE.read_text(encoding="utf-8") == today, "run: python -m service openapi"


def test_it_says_which_version_of_openapi_it_is() -> None:
    assert document()["openapi"] == "3.1.0"


def test_the_served_document_is_the_written_one(client: FlaskClient) -> None:
    response = client.get("/openapi.yaml")
    assert response.content_type == "application/yaml"
    assert response.get_data(as_text=True) == (ROOT / "openapi.yaml").read_text(encoding="utf-8")
    again = client.get("/openapi.yaml", headers={"If-None-Match": response.headers["ETag"]})
    assert again.status_code == 304


def test_another_process_answers_with_the_same_bytes() -> None:
    """Nothing hangs on the order of a set: two workers give one ETag."""
    code = "from tests.contract.fresh import digest; print(digest())"
    told = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(told) == 1


def test_every_operation_has_an_example_and_every_example_an_operation() -> None:
    names = {operation["operationId"] for _, _, operation in operations()}
    assert names == {call.operation for call in EXAMPLES}


def test_an_operation_lists_its_real_statuses_and_no_catch_all() -> None:
    for path, method, operation in operations():
        statuses = set(operation["responses"])
        assert "default" not in statuses
        assert {"400", "406", "422", "500", "503"} <= statuses
        assert len({"200", "201"} & statuses) == 1
        assert ("304" in statuses) == (method == "get")
        assert ({"413", "415"} <= statuses) == (method == "post")
        assert ("404" in statuses) == ("{" in path)


def test_texts_have_a_greatest_length_and_numbers_a_format_and_bounds() -> None:
    schemas = document()["components"]["schemas"]
    for name, component in schemas.items():
        for node in walk(component):
            if node.get("type") == "string" and not {"enum", "const"} & set(node):
                assert "maxLength" in node, name
            if node.get("type") == "integer":
                assert {"format", "minimum", "maximum"} <= set(node), name


def test_requests_refuse_unknown_members_and_answers_may_grow() -> None:
    schemas = document()["components"]["schemas"]
    closed = {name for name, schema in schemas.items() if schema.get("additionalProperties") is False}
    bodies = [operation["requestBody"] for _, _, operation in operations() if "requestBody" in operation]
    sent = {name for name in reached(bodies) if "properties" in schemas[name]}
    assert closed == sent
    assert {"FitQuestion", "UnitStatement", "NewEvents", "FittedEvent", "FittedData", "SeatedBoard"} <= sent


def reached(node: Any) -> set[str]:
    """The components that a part of the document refers to, and those that they refer to."""
    schemas, found, todo = document()["components"]["schemas"], set[str](), [node]
    while todo:
        names = {each["$ref"].rpartition("/")[2] for each in walk(todo.pop()) if "$ref" in each} - found
        found |= names
        todo += [schemas[name] for name in names]
    return found


def test_a_component_is_named_by_its_title_and_used() -> None:
    schemas = document()["components"]["schemas"]
    used = {node["$ref"].rpartition("/")[2] for node in walk(document()) if "$ref" in node}
    for name, schema in schemas.items():
        assert schema["title"] == name
        assert name in used


def test_every_member_of_a_closed_set_is_explained() -> None:
    schemas = document()["components"]["schemas"]
    for members, meanings in CLOSED.items():
        assert set(meanings) == set(members)
        component = schemas[members.__name__]
        assert component["enum"] == [str(member) for member in members]
        assert all(f"`{member}`" in component["description"] for member in members)


def test_yaml_has_no_aliases_and_is_read_back_as_it_was() -> None:
    text = as_yaml(document())
    assert yaml.load(text, Loader=yaml.CSafeLoader) == document()
    events = yaml.parse(text, Loader=yaml.CSafeLoader)
    assert not any(isinstance(event, yaml.AliasEvent) for event in events)


def _strict(schema_name: str) -> Draft202012Validator:
    """The schema of an answer, with every object closed: a member that is not told would be found."""
    whole = copy.deepcopy(document())
    for node in walk(whole["components"]["schemas"]):
        if node.get("type") == "object" and "properties" in node and "additionalProperties" not in node:
            node["additionalProperties"] = False
    return Draft202012Validator({"$ref": f"#/components/schemas/{schema_name}", **whole})


@pytest.mark.parametrize(
    "place", range(len(EXAMPLES)), ids=[f"{call.operation}-{call.name}" for call in EXAMPLES]
)
def test_an_answer_has_what_the_document_tells_and_nothing_else(
    example_answers: list[Answered], place: int
) -> None:
    call, response = example_answers[place]
    operation = next(found for _, _, found in operations() if found["operationId"] == call.operation)
    success = operation["responses"][str(response.status_code)]
    if call in PICTURES:
        assert list(success["content"]) == [response.content_type]
        return
    schema = success["content"]["application/json"]["schema"]["$ref"]
    _strict(schema.rpartition("/")[2]).validate(response.get_json())


def test_the_strict_validator_finds_a_member_that_is_not_told(client: FlaskClient) -> None:
    body = client.get("/v1/parts/MN-4100").get_json()
    assert not list(_strict("PartAnswer").iter_errors(body))
    assert list(_strict("PartAnswer").iter_errors({**body, "colour": "green"}))


def test_the_version_is_that_of_the_project() -> None:
    assert Version(__version__) == Version(project()["project"]["version"])
    assert document()["info"]["version"] == __version__
