"""The document itself."""

from __future__ import annotations

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
    made: dict[str, str] = {}
    making = Lock()

    @blp.get("/openapi.yaml")
    def document() -> Response:
        media_type(request.headers.get("Accept"), (YAML, "text/yaml", "text/plain", JSON))
        if not made:
            # Who makes it takes the described operations apart, so it is made by one and once.
            with making:
                if not made:
                    made["yaml"] = as_yaml(api.document())
        headers = {"ETag": f'"{entity_tag(made["yaml"])}"', "Cache-Control": KEPT}
        if is_known(request.headers.get("If-None-Match"), entity_tag(made["yaml"])):
            return Response(status=304, headers=headers)
        return Response(made["yaml"], headers=headers, content_type=YAML)

    vars(document)["scope"] = None
    return blp
