"""The responses of an operation, as the document lists them: no catch-all, every real status."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from marshmallow import Schema

from service.api.edge.negotiate import SVG
from service.api.problems.kinds import KINDS, PHRASES, Kind
from service.api.schemas.events import ConflictOut
from service.api.schemas.problem import ProblemOut
from service.api.schemas.sale import SaleConflictOut

ALWAYS = ("malformed_query", "not_acceptable", "invalid_request", "internal_error")
WITH_BODY = ("malformed_json", "content_too_large", "unsupported_media_type")
STORED = ("no_catalogue", "store_unavailable")
WITH_KEY = ("key_in_query", "key_missing", "key_not_valid", "insufficient_scope", "too_many_requests")
WRITING = ("idempotency_key_missing", "idempotency_key_malformed", "idempotency_key_reused")

SCHEMAS = {"version_conflict": ConflictOut, "check_outdated": SaleConflictOut}
"""Problems with members of their own, by a code that an operation of theirs has."""

ETAG = {
    "description": "Changes with the answer; send it as If-None-Match to learn whether it still holds.",
    "schema": {"type": "string", "maxLength": 200},
}
LINK = {
    "description": 'The next page (RFC 8288), as rel="next"; absent on the last.',
    "schema": {"type": "string", "maxLength": 2000},
}
REQUEST_ID = {
    "description": "The id of this call in the service's log: the caller's own X-Request-Id where it is a "
    "plain one.",
    "schema": {"type": "string", "maxLength": 64},
}
LOCATION = {
    "description": "The address of what was stored, relative to this one.",
    "schema": {"type": "string", "format": "uri-reference", "maxLength": 200},
}
REPLAYED = {
    "description": "`true`: this is the first answer to a request that is repeated; absent otherwise.",
    "schema": {"type": "string", "maxLength": 4},
}
POLICY = {
    "description": "A browser that opens the picture by itself lets in its own style sheet and nothing else.",
    "schema": {"type": "string", "maxLength": 300},
}
RATE_LIMIT_POLICY = {
    "description": "The requests that the key is good for in a window, and the window in seconds, as "
    'the IETF draft on RateLimit header fields has it: `"default";q=600;w=60`.',
    "schema": {"type": "string", "maxLength": 100},
}
RATE_LIMIT = {
    "description": "The requests that are left in the running window, and its seconds that are left: "
    '`"default";r=599;t=42`. Absent where a key was not recognised, or a request was not counted.',
    "schema": {"type": "string", "maxLength": 100},
}
RATES = {"RateLimit-Policy": RATE_LIMIT_POLICY, "RateLimit": RATE_LIMIT}
CHALLENGE = {
    "description": 'What is missing (RFC 6750): `Bearer realm="boardfit"`, with an `error` where a key was '
    "sent, and the `scope` that it lacks.",
    "schema": {"type": "string", "maxLength": 200},
}
RETRY_AFTER = {
    "description": "Seconds after which a repeated call may succeed.",
    "schema": {"type": "integer", "format": "int32", "minimum": 0, "maximum": 86400},
}


def operation_responses(
    answer: type[Schema] | None,
    *,
    has_body: bool,
    stores: bool = False,
    needs_key: bool = True,
    problems: Sequence[str] = (),
) -> dict[int, dict[str, Any]]:
    """Responses by status, for an operation that answers with `answer`, None being a picture, and may end
    in `problems`."""
    further = ((has_body, WITH_BODY), (stores, WRITING), (needs_key, WITH_KEY))
    codes = {*ALWAYS, *STORED, *problems, *(code for wanted, codes in further if wanted for code in codes)}
    found = _successes(answer, has_body=has_body, stores=stores) | problem_responses(codes)
    if needs_key:
        for status, response in found.items():
            response["headers"] |= RATES if status < 500 else {}
    return found


def _successes(answer: type[Schema] | None, *, has_body: bool, stores: bool) -> dict[int, dict[str, Any]]:
    if stores:
        assert answer is not None, "what is stored is no picture"
        return {201: _stored(answer)}
    told = _picture() if answer is None else _answer(answer, conditional=not has_body)
    found: dict[int, dict[str, Any]] = {200: told}
    if not has_body:
        found[304] = {"description": "The caller has this answer already.", "headers": {"ETag": ETAG}}
    return found


def problem_responses(codes: set[str]) -> dict[int, dict[str, Any]]:
    """The problem responses of these codes, one for each status."""
    kinds = sorted((KINDS[code] for code in codes), key=lambda kind: (kind.status, kind.code))
    return {
        status: _problem(status, list(same)) for status, same in groupby(kinds, key=lambda kind: kind.status)
    }


def _answer(answer: type[Schema], *, conditional: bool) -> dict[str, Any]:
    headers = {"X-Request-Id": REQUEST_ID, **({"ETag": ETAG} if conditional else {})}
    if "next_cursor" in answer().fields:
        headers["Link"] = LINK
    return {
        "description": "The question was answered.",
        "headers": headers,
        "content": {
            "application/json": {"schema": answer},
            "text/plain": {"schema": {"type": "string", "maxLength": 1000000}},
        },
    }


def _picture() -> dict[str, Any]:
    """SVG is text, so its schema is that of a text (OpenAPI 3.1 section 4.8.14.4.1 keeps encodings for what
    is binary)."""
    schema = {"type": "string", "contentMediaType": SVG, "maxLength": 1000000}
    return {
        "description": "The picture, with its title and description for those who hear it.",
        "headers": {"X-Request-Id": REQUEST_ID, "ETag": ETAG, "Content-Security-Policy": POLICY},
        "content": {SVG: {"schema": schema}},
    }


def _stored(answer: type[Schema]) -> dict[str, Any]:
    found = _answer(answer, conditional=False)
    headers = {**found["headers"], "Location": LOCATION, "Idempotency-Replayed": REPLAYED}
    return {**found, "description": "It was done, now or when it was first asked for.", "headers": headers}


_OF_STATUS = {
    401: {"WWW-Authenticate": CHALLENGE},
    403: {"WWW-Authenticate": CHALLENGE},
    429: {"Retry-After": RETRY_AFTER},
    503: {"Retry-After": RETRY_AFTER},
}


def _problem(status: int, kinds: list[Kind]) -> dict[str, Any]:
    told = [f"`{kind.code}`: {kind.meaning}" for kind in kinds]
    schema = next((SCHEMAS[kind.code] for kind in kinds if kind.code in SCHEMAS), ProblemOut)
    headers = {"X-Request-Id": REQUEST_ID, **_OF_STATUS.get(status, {})}
    return {
        "description": f"{PHRASES[status]}. " + " ".join(told),
        "headers": headers,
        "content": {"application/problem+json": {"schema": schema}},
    }
