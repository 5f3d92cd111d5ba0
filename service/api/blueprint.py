"""One decorator for a whole operation: route, input, output, problems, and its part of the document."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import wraps
from typing import Any

from flask import Response, request
from flask_smorest import Blueprint
from marshmallow import Schema

from service.api.calling import caller, shop
from service.api.document.responses import operation_responses
from service.api.edge.negotiate import JSON, TEXT, media_type
from service.api.edge.parser import StrictParser
from service.api.edge.path import PathText, path_text
from service.api.edge.reply import Reply, respond
from service.api.schemas.fields import In

View = Callable[..., Reply]


class NoQuery(In):
    """An operation without parameters: any that is sent is a mistake."""


class Routes(Blueprint):  # type: ignore[misc] # the library carries no types
    """A blueprint whose operations read strictly, negotiate, and document what they do."""

    ARGUMENTS_PARSER = StrictParser()

    def operation(
        self,
        rule: str,
        *,
        name: str,
        answer: type[Schema],
        query: type[Schema] = NoQuery,
        body: type[Schema] | None = None,
        path: Sequence[PathText] = (),
        problems: Sequence[str] = (),
        extra: Mapping[str, Any] | None = None,
    ) -> Callable[[View], View]:
        """Decorate a view that takes `(shop, caller, query, [body], **path)` and gives a `Reply`.

        `name` is the operation id; `problems`: codes beyond those that the parameters imply.
        """

        def decorate(view: View) -> View:
            served: Any = _served(view)
            if body is not None:
                served = self.arguments(body(), location="json")(served)
            served = self.arguments(query(), location="query")(served)
            served = self.doc(
                operationId=name,
                responses=operation_responses(answer, has_body=body is not None, problems=problems),
                **(extra or {}),
            )(served)
            method = "GET" if body is None else "POST"
            self.route(rule, methods=[method], parameters=[p.documented() for p in path], endpoint=name)(
                served
            )
            return view

        return decorate


def _served(view: View) -> Callable[..., Response]:
    @wraps(view)
    def serve(*parsed: Any, **path: str) -> Response:
        media = media_type(request.headers.get("Accept"), (JSON, TEXT))
        asking = caller()
        reply = view(
            shop(), asking, *parsed, **{name: path_text(name, value) for name, value in path.items()}
        )
        return respond(reply, request, media, asking.language)

    return serve
