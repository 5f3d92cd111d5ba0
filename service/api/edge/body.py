"""The bytes of a request body: of the right kind, whole, and not too many."""

from __future__ import annotations

from flask import Request

from service.api.problems import Problem, in_header


def read(request: Request, limit: int) -> bytes:
    """The body. Raises `Problem`: unsupported_media_type (415), content_too_large (413)."""
    _check_kind(request)
    if request.content_length is not None and request.content_length > limit:
        raise _too_large(limit)
    body = request.get_data(cache=True)
    # A body sent in chunks is cut at the limit without a word, so reaching it is as good as passing it.
    if request.content_length is None and len(body) >= limit:
        raise _too_large(limit)
    return body


def _check_kind(request: Request) -> None:
    if request.headers.get("Content-Encoding", "identity").lower() not in ("", "identity"):
        mend = "send the body without a content encoding"
        raise Problem("unsupported_media_type", mend, [in_header("Content-Encoding", mend)])
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype != "application/json" or charset not in ("utf-8", "utf8"):
        mend = "send Content-Type: application/json"
        raise Problem("unsupported_media_type", mend, [in_header("Content-Type", mend)])


def _too_large(limit: int) -> Problem:
    return Problem("content_too_large", f"the body is over {limit} bytes: ask in several calls")
