"""The document itself."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from threading import Lock
from typing import Any

from flask import Blueprint, Response, request

from service.api.document.written import as_yaml
from service.api.edge.negotiate import JSON, YAML, media_type
from service.api.edge.reply import KEPT
from service.api.edge.validators import entity_tag, is_known


def blueprint(described: Callable[[], dict[str, Any]]) -> Blueprint:
    """Serves the document that `described` makes. It is not part of it: it is the way to it."""
    blp = Blueprint("document", __name__)
    making = Lock()

    @cache
    def made() -> tuple[str, str]:
        """The document, and its tag."""
        text = as_yaml(described())
        return text, entity_tag(text)

    @blp.get("/openapi.yaml")
    def document() -> Response:
        media_type(request.headers.get("Accept"), (YAML, "text/yaml", "text/plain", JSON))
        # It is long to make, so it is made by one and once.
        with making:
            text, tag = made()
        headers = {"ETag": f'"{tag}"', "Cache-Control": KEPT}
        if is_known(request.headers.get("If-None-Match"), tag):
            return Response(status=304, headers=headers)
        return Response(text, headers=headers, content_type=YAML)

    vars(document)["scope"] = None
    return blp
