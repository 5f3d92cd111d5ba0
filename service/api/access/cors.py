"""Letting web pages of other origins ask (CORS, the Fetch standard of the WHATWG).

Off unless origins are set. An origin is compared character by character, as the standard has it; the usual
extension for Flask compares without case, takes some origins for regular expressions and leaves out
`Vary` where there is one origin, and what is needed is no longer than setting it up. No cookies are
used, so none are let through.
"""

from __future__ import annotations

from collections.abc import Collection

from flask import Flask, Response, request

SENT = (
    "Authorization, Content-Type, Idempotency-Key, If-Match, If-None-Match, X-Request-Id, "
    "traceparent, tracestate"
)
"""Header fields that a page may send besides those that every page may."""
SHOWN = (
    "ETag, Idempotency-Replayed, Link, Location, RateLimit, RateLimit-Policy, Retry-After, WWW-Authenticate, "
    "X-Request-Id, traceresponse"
)
"""Header fields of an answer that a page may read besides those that every page may."""
MAX_AGE = "600"
"""Seconds for which a browser need not ask again whether it may ask."""


def register(app: Flask, origins: Collection[str]) -> None:
    """Tell the pages of these origins that they may ask. Errors are told to them as well as answers."""
    if not origins:
        return

    @app.after_request
    def tell(response: Response) -> Response:
        response.vary.add("Origin")
        origin = request.headers.get("Origin")
        if origin in origins:
            response.headers["Access-Control-Allow-Origin"] = origin
            response.headers["Access-Control-Expose-Headers"] = SHOWN
            if _is_preflight():
                response.headers["Access-Control-Allow-Methods"] = response.headers.get("Allow", "")
                response.headers["Access-Control-Allow-Headers"] = SENT
                response.headers["Access-Control-Max-Age"] = MAX_AGE
        return response


def _is_preflight() -> bool:
    return request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers
