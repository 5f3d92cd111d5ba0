"""Mends of the generated document that no setting of the library makes.

Each is one small function over the plain document; they run in the order of `shaped`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.api.document.security import scope_told
from service.api.document.tools import mark

Node = dict[str, Any]

LONGEST = {"date": 10, "date-time": 64}


def shaped(document: Node) -> Node:
    """The document in its final form."""
    for mend in (
        _close_inputs,
        _share_components,
        _place_examples,
        mark,
        _tell_scopes,
        _share_headers,
        _bound_dates,
        _name_schemas,
        _drop_unused,
        _order,
    ):
        mend(document)
    return {"openapi": document.pop("openapi"), **document}


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
        if "x-component" in node:
            name, component = node.pop("x-component")
            shared = {"type": "string", **component}
            if schemas.setdefault(name, shared) != shared:
                raise ValueError(f"two sets under the name {name}")
            node.pop("type", None)
            node["$ref"] = f"#/components/schemas/{name}"


def _place_examples(document: Node) -> None:
    """The example of a parameter stands at the parameter; in a schema the word is `examples` since 3.1."""
    for node in walk(document):
        if "in" in node and "example" in node.get("schema", {}):
            node["example"] = node["schema"].pop("example")
    for schema in _schemas(document):
        if "example" in schema:
            schema["examples"] = [schema.pop("example")]


def _schemas(document: Node) -> Iterator[Node]:
    """Every schema object: components, members, items."""
    for root in document["components"]["schemas"].values():
        for node in walk(root):
            if "type" in node or "$ref" in node:
                yield node


def _tell_scopes(document: Node) -> None:
    """What a key must be good for stands in the text of each operation too: many readers show only that."""
    for item in document["paths"].values():
        for operation in (each for each in item.values() if isinstance(each, dict)):
            told = [operation.get("description", ""), scope_told(operation["security"])]
            operation["description"] = "\n\n".join(filter(None, told))


def _share_headers(document: Node) -> None:
    """Each response header is told once."""
    shared = document["components"].setdefault("headers", {})
    for node in walk(document["paths"]):
        for name, header in node.get("headers", {}).items():
            if "$ref" not in header:
                if shared.setdefault(name, header) != header:
                    raise ValueError(f"two headers under the name {name}")
                node["headers"][name] = {"$ref": f"#/components/headers/{name}"}


def _bound_dates(document: Node) -> None:
    """A day and a moment have a greatest length like every other text."""
    for node in walk(document):
        if node.get("type") == "string" and node.get("format") in LONGEST:
            node["maxLength"] = LONGEST[node["format"]]


def _name_schemas(document: Node) -> None:
    """A title equal to the component's name: client generators name classes by it."""
    for name, schema in document["components"]["schemas"].items():
        schema["title"] = name


def _drop_unused(document: Node) -> None:
    components = document["components"]
    for unused in ("responses", "parameters"):
        components.pop(unused, None)
    used = {node["$ref"].rpartition("/")[2] for node in walk(document) if "$ref" in node}
    components["schemas"] = {name: schema for name, schema in components["schemas"].items() if name in used}


def _order(document: Node) -> None:
    schemas = document["components"]["schemas"]
    document["components"]["schemas"] = {name: schemas[name] for name in sorted(schemas)}
    document["tags"].sort(key=lambda tag: str(tag["name"]))
    for operations in document["paths"].values():
        for method, operation in operations.items():
            if isinstance(operation, dict):
                operation["responses"] = dict(sorted(operation["responses"].items()))
                operations[method] = {name: operation[name] for name in OPERATION_ORDER if name in operation}


OPERATION_ORDER = (
    "operationId",
    "summary",
    "description",
    "tags",
    "security",
    "parameters",
    "requestBody",
    "responses",
)
