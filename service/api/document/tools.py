"""The operations that a chat may use, and the same as a list of tools for function calling.

At most five, so that a model can tell them apart; all are safe (GET), with few and flat parameters, and
all answer with a `summary` or `text` that can be shown to a customer as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.domain.catalogue.model import Catalogue

Node = dict[str, Any]

TAG: Mapping[str, str] = {
    "name": "chat",
    "description": "What a chat with customers needs, each answerable from a sentence of theirs.",
}
FOR_CUSTOMERS: Mapping[str, str] = {"means": "customer"}
"""Sent with every call whose operation knows it: a customer finds out what needs no tool and no opening."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chat:
    """How a chat uses an operation."""

    when: str
    """What it is for, and what it is not for."""
    parameters: tuple[str, ...]
    """The parameters that a customer's sentence can fill."""


CHATS: Mapping[str, Chat] = {
    "check_fit": Chat(
        when="Use it when somebody asks whether a board will work in a machine, or what has to be done "
        "before it does. Name the machine by `unit` or `model`, and the board by `part` or `role`, with "
        "`bound_model` for one that comes out of another machine. Not for what a machine could be "
        "able to do: that is an upgrade.",
        parameters=("unit", "model", "part", "role", "bound_model"),
    ),
    "check_upgrade": Chat(
        when="Use it when somebody asks whether a machine can get something that it does not have, what that "
        "takes and costs, and whether it is worth it. Not for a board that somebody has in hand.",
        parameters=("unit", "model", "want", "amount"),
    ),
    "get_unit": Chat(
        when="Use it when somebody asks what a machine is or can do, or why it refuses to run after a board "
        "was changed: `if_it_refuses` then says what to do. It needs the serial on the plate.",
        parameters=("serial",),
    ),
    "get_unit_parts": Chat(
        when="Use it when somebody asks for a part and gives the serial on the machine's plate. `function` "
        "is what stopped working. Without a serial, look in all parts instead.",
        parameters=("serial", "role", "function"),
    ),
    "find_parts": Chat(
        when="Use it when somebody asks for a part and knows the model or a number, and not the serial of "
        "the machine. With a serial, ask for the parts of that machine instead.",
        parameters=("model", "role", "function", "number", "market"),
    ),
}
"""By operation id."""


def mark(document: Node) -> None:
    """Tag the operations for a chat, and say in their descriptions when to use them."""
    document["tags"].append(dict(TAG))
    for _, _, operation in _operations(document):
        chat = CHATS[operation["operationId"]]
        operation["tags"] = [*operation["tags"], TAG["name"]]
        operation["description"] = f"{operation.get('description', '')}\n\nIn a chat: {chat.when}".strip()


def values_of(catalogue: Catalogue) -> dict[str, list[str]]:
    """What a parameter that names something in the catalogue may say, by the parameter's name."""
    models: list[str] = list(catalogue.models)
    return {
        "model": models,
        "bound_model": models,
        "role": list(catalogue.roles),
        "want": list(catalogue.capabilities),
        "market": list(catalogue.markets),
    }


def tools(document: Node, named: Mapping[str, list[str]]) -> list[Node]:
    """The tools, made of the finished document: each a function, and the call that it stands for.

    `named` are the values of parameters that name something, by parameter, where a catalogue tells them:
    a language model that may choose among what there is makes no names up.
    """
    return [
        {
            "type": "function",
            "function": {
                "name": operation["operationId"],
                "description": f"{operation['summary']} {CHATS[operation['operationId']].when}",
                "parameters": _schema(document, _chosen(item, operation), named),
            },
            "call": {"method": "GET", "path": path, "query": _fixed(item, operation)},
        }
        for path, item, operation in _operations(document)
    ]


def _operations(document: Node) -> Iterator[tuple[str, Node, Node]]:
    for path, item in document["paths"].items():
        operation = item.get("get", {})
        if operation.get("operationId") in CHATS:
            yield path, item, operation


def _parameters(item: Node, operation: Node) -> dict[str, Node]:
    told = [*item.get("parameters", ()), *operation.get("parameters", ())]
    return {each["name"]: each for each in told}


def _chosen(item: Node, operation: Node) -> list[Node]:
    known = _parameters(item, operation)
    return [known[name] for name in CHATS[operation["operationId"]].parameters]


def _fixed(item: Node, operation: Node) -> dict[str, str]:
    known = _parameters(item, operation)
    return {name: value for name, value in FOR_CUSTOMERS.items() if name in known}


def _schema(document: Node, parameters: list[Node], named: Mapping[str, list[str]]) -> Node:
    return {
        "type": "object",
        "properties": {
            each["name"]: _property(document, each, named.get(each["name"], [])) for each in parameters
        },
        "required": [each["name"] for each in parameters if each.get("required")],
        "additionalProperties": False,
    }


def _property(document: Node, parameter: Node, values: list[str]) -> Node:
    """A parameter as a scalar with its meaning; its example is one of the document's, so that it works."""
    schema = dict(parameter["schema"])
    name = schema.pop("$ref", "").rpartition("/")[2]
    shared = document["components"]["schemas"].get(name, {})
    kept = {key: value for key, value in {**shared, **schema}.items() if key in KEPT}
    choice = {"enum": values} if values else {}
    example = {"examples": [parameter["example"]]} if "example" in parameter else {}
    return {**kept, **choice, "description": parameter["description"], **example}


KEPT = ("type", "enum", "minimum", "maximum", "maxLength", "default")
"""What a model makes use of. Patterns are left to the service, which says how to mend what it refuses."""
