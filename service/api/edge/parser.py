"""The argument parser behind every view: strict readers in, one problem out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Never

from flask import Request, current_app
from marshmallow import RAISE, Schema, ValidationError
from webargs.flaskparser import FlaskParser

from service.api.edge import body, query, strict_json
from service.api.problems import Fault, in_body, in_parameter
from service.api.problems.problem import invalid


class StrictParser(FlaskParser):
    """Reads query strings and JSON bodies as `edge.query` and `edge.strict_json` do."""

    DEFAULT_UNKNOWN_BY_LOCATION = {"query": RAISE, "json": RAISE}  # noqa: RUF012 - the library's own shape

    def load_json(self, req: Request, schema: Schema) -> Any:  # noqa: ARG002 - the library's signature
        return strict_json.load(body.read(req, current_app.config["MAX_BODY_BYTES"]))

    def load_querystring(self, req: Request, schema: Schema) -> Any:  # noqa: ARG002 - the library's signature
        return query.read(req.query_string)

    def handle_error(self, error: ValidationError, *_: Any, **__: Any) -> Never:
        """Raise the problem of a request that breaks its schema."""
        raise invalid(list(_faults(error)))


def _faults(error: ValidationError) -> Iterator[Fault]:
    for location, messages in _by_location(error).items():
        for path, detail in walk(messages):
            yield in_body(path, detail) if location == "json" else _of_parameter(path, detail)


def _by_location(error: ValidationError) -> Mapping[str, Any]:
    return error.messages if isinstance(error.messages, dict) else {"json": error.messages}


def _of_parameter(path: tuple[str | int, ...], detail: str) -> Fault:
    return in_parameter(str(path[0]) if path else "", detail)


def walk(messages: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Path and text of each message in the nested form of the schema library."""
    if isinstance(messages, Mapping):
        for name, inner in messages.items():
            yield from walk(inner, path if name == "_schema" else (*path, name))
    elif isinstance(messages, list):
        for inner in messages:
            yield from walk(inner, path)
    else:
        yield path, str(messages)
