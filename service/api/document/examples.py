"""The document's examples: real answers, kept in a file beside the code.

`python -m service openapi` asks them anew; a test asks them too and fails when the file differs.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

FILE = Path(__file__).with_name("examples.yaml")

Examples = dict[str, dict[str, dict[str, Any]]]
"""By operation id and name: `summary`, `query`, `path`, `header`, `body` as they were sent, and `answer`
where it is JSON: a picture is too long for a document."""


@cache
def kept() -> Examples:
    """The examples in the file."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    found: Examples = yaml.load(FILE.read_text(encoding="utf-8"), Loader=loader) if FILE.is_file() else {}  # noqa: S506 - it is a safe loader
    return found


def place(document: dict[str, Any], examples: Examples) -> None:
    """Put the examples into the operations of a document."""
    for item in document["paths"].values():
        for operation in (each for each in item.values() if isinstance(each, dict)):
            found = examples.get(operation["operationId"], {})
            if found:
                _place(operation, found)
                _place_parameters([*item.get("parameters", []), *operation.get("parameters", [])], found)


def _place(operation: dict[str, Any], examples: dict[str, dict[str, Any]]) -> None:
    answers = {
        name: {"summary": each["summary"], "value": each["answer"]}
        for name, each in examples.items()
        if "answer" in each
    }
    success = next(status for status in operation["responses"] if status.startswith("20"))
    if answers:
        operation["responses"][success]["content"]["application/json"]["examples"] = answers
    bodies = {
        name: {"summary": each["summary"], "value": each["body"]}
        for name, each in examples.items()
        if "body" in each
    }
    if bodies:
        operation["requestBody"]["content"]["application/json"]["examples"] = bodies


def _place_parameters(parameters: list[dict[str, Any]], examples: dict[str, dict[str, Any]]) -> None:
    """Only values of one call: together they make a call that works."""
    first = next(iter(examples.values()))
    sent = {**first.get("path", {}), **first.get("query", {}), **first.get("header", {})}
    for parameter in parameters:
        parameter.pop("example", None)
        if parameter["name"] in sent:
            value = sent[parameter["name"]]
            parameter["example"] = int(value) if parameter["schema"].get("type") == "integer" else value
