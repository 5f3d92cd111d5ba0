"""What every request has in common: a path that can be read, and an operation that is noted."""

from __future__ import annotations

from flask import Flask

from service.api.calling import asked
from service.api.problems import Problem
from service.api.seeing.seen import SEEN


def register(app: Flask) -> None:
    """Look at every request before anybody else does."""

    @app.before_request
    def start() -> None:
        found = asked()
        found.environ[SEEN].endpoint = found.endpoint
        _check_path(found.environ.get("PATH_INFO", ""))


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
