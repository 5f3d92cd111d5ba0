"""One decorator for a whole operation: route, input, output, problems, and its part of the document."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import wraps
from typing import Any

from flask import Response, current_app
from flask_smorest import Blueprint
from marshmallow import Schema

from service.api.calling import asked, caller, shop
from service.api.document.responses import operation_responses
from service.api.document.security import security
from service.api.edge import repeating
from service.api.edge.arguments import from_body, from_query, sent_body
from service.api.edge.negotiate import JSON, SVG, TEXT, media_type
from service.api.edge.path import PathText, path_text
from service.api.edge.repeating import repeat_of
from service.api.edge.reply import Reply, respond
from service.api.schemas.fields import In
from service.usecases.caller import Scope

View = Callable[..., Reply]

OFFERS = (JSON, TEXT)
PICTURES = (SVG,)


class NoQuery(In):
    """An operation without parameters: any that is sent is a mistake."""


class Routes(Blueprint):  # type: ignore[misc] # the library carries no types
    """A blueprint whose operations read strictly, negotiate, and document what they do."""

    def operation(
        self,
        rule: str,
        *,
        name: str,
        answer: type[Schema] | None,
        query: type[Schema] = NoQuery,
        body: type[Schema] | None = None,
        path: Sequence[PathText] = (),
        problems: Sequence[str] = (),
        scope: Scope | None = Scope.ASK,
        stores: bool = False,
        extra: Mapping[str, Any] | None = None,
    ) -> Callable[[View], View]:
        """Decorate a view that takes `(shop, caller, query, [body], [repeat], **path)` and gives a `Reply`.

        `name` is the operation id; `answer` None is a picture; `problems`: codes beyond those that the
        parameters imply; `scope`: what a key must be good for, None for an operation that needs no key;
        `stores`: it has a body, writes something, is done once for each Idempotency-Key, and answers by
        `Reply.of_stored`.
        """

        def decorate(view: View) -> View:
            offers = PICTURES if answer is None else OFFERS
            served: Any = _served(view, offers, query(), body() if body is not None else None, stores=stores)
            # The library's decorators would read the arguments their own way; what they document is kept.
            documented: Any = self.arguments(query(), location="query")(view)
            if body is not None:
                documented = self.arguments(body(), location="json")(documented)
            responses = operation_responses(
                answer,
                has_body=body is not None,
                stores=stores,
                needs_key=scope is not None,
                problems=problems,
            )
            told = {"operationId": name, "responses": responses, "security": security(scope), **(extra or {})}
            if stores:
                # At the operation and not with the path, which other methods share.
                told["parameters"] = [repeating.PARAMETER]
            # The library would wrap the view for each thing that it documents, and every call goes through.
            served._apidoc = self.doc(**told)(documented)._apidoc  # noqa: SLF001 - it has no other way in
            served.scope = scope
            described = [each.documented() for each in path]
            method = "GET" if body is None else "POST"
            self.route(rule, methods=[method], parameters=described, endpoint=name)(served)
            return view

        return decorate


def _served(
    view: View, offers: tuple[str, ...], query: Schema, body: Schema | None, *, stores: bool
) -> Callable[..., Response]:
    @wraps(view)
    def serve(**path: str) -> Response:
        found = asked()
        media = media_type(found.environ.get("HTTP_ACCEPT"), offers)
        asking = caller(found)
        read = [from_query(found, query)]
        sent = sent_body(found, current_app.config["MAX_BODY_BYTES"]) if body is not None else None
        repeat = [repeat_of(found, sent)] if stores else []
        if body is not None:
            read.append(from_body(sent, body))
        placed = {name: path_text(name, value) for name, value in path.items()}
        return respond(view(shop(), asking, *read, *repeat, **placed), found, media, asking.language)

    return serve
