"""The arguments of an operation: strictly read, loaded by its schemas, or refused with every fault.

The library's own parser is not on the path: it reads forgivingly, and going through it costs as much as
loading the schema itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from flask import Request
from marshmallow import Schema, ValidationError

from service.api.edge import body, query, strict_json
from service.api.problems import in_body, in_parameter
from service.api.problems.problem import invalid

Path = tuple[str | int, ...]


def from_query(request: Request, schema: Schema) -> Any:
    """The parameters. Raises `Problem`: malformed_query (400), invalid_request (422)."""
    try:
        return schema.load(query.read(request.query_string))
    except ValidationError as error:
        faults = [in_parameter(str(path[0]) if path else "", detail) for path, detail in walk(error.messages)]
        raise invalid(faults) from None


def sent_body(request: Request, limit: int) -> Any:
    """The body as JSON values. Raises `Problem`: what `body` and `strict_json` do."""
    return strict_json.load(body.read(request, limit))


def from_body(sent: Any, schema: Schema) -> Any:
    """The body as its schema loads it. Raises `Problem` (invalid_request, 422)."""
    try:
        return schema.load(sent)
    except ValidationError as error:
        raise invalid([in_body(path, detail) for path, detail in walk(error.messages)]) from None


def walk(messages: Any, path: Path = ()) -> Iterator[tuple[Path, str]]:
    """Path and text of each message in the nested form of the schema library."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from walk(inner, path if name == "_schema" else (*path, name))
    elif isinstance(messages, list):
        for inner in messages:
            yield from walk(inner, path)
    else:
        yield path, str(messages)
