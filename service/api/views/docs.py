"""The documentation page: the document, shown to people by a public reader of OpenAPI documents.

The reader (Swagger UI, Apache-2.0) comes whole in the package `flask-swagger-ui`, so the page works without
the internet: everything it refers to is served from here, and its Content-Security-Policy lets the browser
fetch nothing else. Addresses are relative, so that it works behind a proxy that serves under a prefix.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from flask import Blueprint, Response, request

from service.api.edge.negotiate import media_type
from service.api.edge.reply import KEPT
from service.api.edge.validators import entity_tag, is_known
from service.api.problems import Problem

HTML = "text/html"
PAGE = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>boardfit: the interface</title>
<link rel="icon" href="docs/favicon-32x32.png">
<link rel="stylesheet" href="docs/swagger-ui.css">
</head>
<body>
<main id="reader"><noscript>This page needs scripts. The document itself is at
<a href="openapi.yaml">openapi.yaml</a>.</noscript></main>
<script src="docs/swagger-ui-bundle.js"></script>
<script src="docs/start.js"></script>
</body>
</html>
"""
# `validatorUrl` would have the document judged by a service on the internet.
START = """\
SwaggerUIBundle({
  url: "openapi.yaml",
  dom_id: "#reader",
  deepLinking: true,
  docExpansion: "list",
  defaultModelsExpandDepth: 0,
  displayRequestDuration: true,
  validatorUrl: null
});
"""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""What the browser may do (W3C Content Security Policy Level 3). The reader's own style sheet holds a few
small pictures as `data:`; nothing else is inline."""

READER = "flask_swagger_ui"
TYPES: Mapping[str, str] = {
    "start.js": "text/javascript; charset=utf-8",
    "swagger-ui-bundle.js": "text/javascript; charset=utf-8",
    "swagger-ui.css": "text/css; charset=utf-8",
    "favicon-32x32.png": "image/png",
}
"""All files of the page."""


class Served(NamedTuple):
    """A file as it is sent."""

    body: bytes
    tag: str


def blueprint() -> Blueprint:
    """Serves the page and its files. Like the document that it shows, they need no key."""
    blp = Blueprint("docs", __name__)

    @blp.get("/docs")
    def docs() -> Response:
        media_type(request.headers.get("Accept"), (HTML,))
        return _sent(_served(""), f"{HTML}; charset=utf-8")

    @blp.get("/docs/<string:name>")
    def docs_file(name: str) -> Response:
        if name not in TYPES:
            raise Problem("not_found", "the documentation page has no such file; it is at /docs")
        return _sent(_served(name), TYPES[name])

    for view in (docs, docs_file):
        vars(view)["scope"] = None
    return blp


@cache
def _served(name: str) -> Served:
    """The page itself, or one of its files. Read when somebody first asks: most workers never have to."""
    own = {"": PAGE, "start.js": START}
    body = own[name].encode() if name in own else files(READER).joinpath("dist", name).read_bytes()
    return Served(body, entity_tag(body))


def _sent(of: Served, content_type: str) -> Response:
    headers = {"ETag": f'"{of.tag}"', "Cache-Control": KEPT, "Content-Security-Policy": POLICY}
    if is_known(request.headers.get("If-None-Match"), of.tag):
        return Response(status=304, headers=headers)
    return Response(of.body, headers=headers, content_type=content_type)
