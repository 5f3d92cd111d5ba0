"""Mends of the generated document that no setting of the library makes.

Each is one small function over the plain document; they run in the order of `shaped`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

Node = dict[str, Any]


def shaped(document: Node) -> Node:
    """The document in its final form."""
    for mend in (_close_inputs, _share_components, _name_schemas, _drop_unused, _order):
        mend(document)
    return document


def walk(node: Any) -> Iterator[Node]:
    """Every object of a document, outermost first."""
    if isinstance(node, dict):
        yield node
        for inner in list(node.values()):
            yield from walk(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from walk(inner)


def _close_inputs(document: Node) -> None:
    """Schemas of requests refuse unknown members; the library forgets to say so beside a description."""
    schemas = document["components"]["schemas"]
    todo = [
        content["schema"]
        for node in walk(document["paths"])
        if "requestBody" in node
        for content in node["requestBody"]["content"].values()
    ]
    for root in todo:
        for node in walk(root):
            name = node.get("$ref", "").rpartition("/")[2]
            if name in schemas and schemas[name].get("additionalProperties") is not False:
                schemas[name]["additionalProperties"] = False
                todo.append(schemas[name])


def _share_components(document: Node) -> None:
    """Fields of one closed set refer to one component."""
    schemas = document["components"]["schemas"]
    for node in walk(document):
        name = node.pop("x-component", None)
        if name is not None:
            shared = {"type": "string", "enum": node.pop("enum")}
            if schemas.setdefault(name, shared) != shared:
                raise ValueError(f"two sets under the name {name}")
            node.pop("type", None)
            node["$ref"] = f"#/components/schemas/{name}"


def _name_schemas(document: Node) -> None:
    """A title equal to the component's name: client generators name classes by it."""
    for name, schema in document["components"]["schemas"].items():
        schema["title"] = name


def _drop_unused(document: Node) -> None:
    components = document["components"]
    for unused in ("responses", "parameters", "headers"):
        components.pop(unused, None)
    used = {node["$ref"].rpartition("/")[2] for node in walk(document) if "$ref" in node}
    components["schemas"] = {name: schema for name, schema in components["schemas"].items() if name in used}


def _order(document: Node) -> None:
    schemas = document["components"]["schemas"]
    document["components"]["schemas"] = {name: schemas[name] for name in sorted(schemas)}
    for operations in document["paths"].values():
        for operation in operations.values():
            if isinstance(operation, dict) and "responses" in operation:
                _order_responses(operation)


def _order_responses(operation: Node) -> None:
    by_status: Callable[[str], str] = str
    operation["responses"] = {
        status: operation["responses"][status] for status in sorted(operation["responses"], key=by_status)
    }
