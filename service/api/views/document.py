"""The document itself."""

from __future__ import annotations

from functools import cache
from threading import Lock

from flask import Blueprint, Response, request

from service.api.document.build import DescribedApi
from service.api.document.written import as_yaml
from service.api.edge.negotiate import JSON, YAML, media_type
from service.api.edge.reply import KEPT
from service.api.edge.validators import entity_tag, is_known


def blueprint(api: DescribedApi) -> Blueprint:
    """Serves the document of an API. It is not part of the document: it is the way to it."""
    blp = Blueprint("document", __name__)
    making = Lock()

    @cache
    def made() -> tuple[str, str]:
        """The document, and its tag."""
        text = as_yaml(api.document())
        return text, entity_tag(text)

    @blp.get("/openapi.yaml")
    def document() -> Response:
        media_type(request.headers.get("Accept"), (YAML, "text/yaml", "text/plain", JSON))
        # Who makes it takes the described operations apart, so it is made by one and once.
        with making:
            text, tag = made()
        headers = {"ETag": f'"{tag}"', "Cache-Control": KEPT}
        if is_known(request.headers.get("If-None-Match"), tag):
            return Response(status=304, headers=headers)
        return Response(text, headers=headers, content_type=YAML)

    vars(document)["scope"] = None
    return blp
