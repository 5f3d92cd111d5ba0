"""One id for each request, in the log and in the response."""

from __future__ import annotations

import re
import uuid

from flask import Flask, Response, g, request

_TAKEN_OVER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")


def register(app: Flask) -> None:
    """Give every request its id: the caller's own where it is a plain one."""

    @app.before_request
    def start() -> None:
        sent = request.headers.get("X-Request-Id", "")
        g.request_id = sent if _TAKEN_OVER.match(sent) else uuid.uuid4().hex

    @app.after_request
    def finish(response: Response) -> Response:
        response.headers["X-Request-Id"] = g.get("request_id", "")
        response.headers["X-Content-Type-Options"] = "nosniff"
        return response
