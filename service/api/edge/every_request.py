"""What every request and response has in common: one id, a path that can be read, a plain OPTIONS."""

from __future__ import annotations

import re
import secrets

from flask import Flask, Response, g, request

from service.api.problems import Problem

_TAKEN_OVER = re.compile(r"(?!bfk_)[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")
"""A plain id, and no key that was sent in the wrong field: ids are logged."""


def register(app: Flask) -> None:
    """Give every request its id: the caller's own where it is a plain one."""

    @app.before_request
    def start() -> None:
        sent = request.environ.get("HTTP_X_REQUEST_ID", "")
        g.request_id = sent if _TAKEN_OVER.match(sent) else secrets.token_hex(16)
        _check_path(request.environ.get("PATH_INFO", ""))

    @app.after_request
    def finish(response: Response) -> Response:
        response.headers.add("X-Request-Id", g.get("request_id", ""))
        response.headers.add("X-Content-Type-Options", "nosniff")
        if request.method == "OPTIONS":
            # There is no content, so there is nothing to name a type for.
            response.headers.pop("Content-Type", None)
            response.headers["Cache-Control"] = "no-store"
        return response


def _check_path(raw: str) -> None:
    """The framework reads bytes that are not UTF-8 as U+FFFD, as if somebody had typed that character.

    `raw` has one character for each byte (PEP 3333). Raises `Problem` (bad_request, 400).
    """
    if raw.isascii():
        return
    try:
        raw.encode("latin-1").decode("utf-8")
    except UnicodeError:
        raise Problem("bad_request", "the path is not UTF-8: percent-encode the text as UTF-8") from None
