"""The one table of problem codes. A code never changes its meaning; new ones may be added.

Source of the shape: RFC 9457. Statuses: RFC 9110 section 15 and RFC 6585.
"""

from __future__ import annotations

from dataclasses import dataclass

TYPE_PREFIX = "tag:boardfit.example,2026:"
"""Our own kinds are named by tag URIs (RFC 4151): absolute, stable, and not an address to fetch."""

PHRASES = {
    400: "Bad Request",
    401: "Unauthorized",
    403: "Forbidden",
    404: "Not Found",
    405: "Method Not Allowed",
    406: "Not Acceptable",
    409: "Conflict",
    411: "Length Required",
    413: "Content Too Large",
    415: "Unsupported Media Type",
    422: "Unprocessable Content",
    429: "Too Many Requests",
    500: "Internal Server Error",
    503: "Service Unavailable",
}
"""RFC 9110's phrases, written out: Python's own table changed between 3.11 and 3.13."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of problem: what a program may switch on."""

    code: str
    status: int
    meaning: str
    """One sentence for the document."""
    title: str = ""
    """Empty: the problem says no more than its status does."""

    @property
    def type(self) -> str:
        """The `type` member: an absolute URI for our own kinds, else `about:blank`."""
        return TYPE_PREFIX + self.code if self.title else "about:blank"

    @property
    def shown_title(self) -> str:
        return self.title or PHRASES[self.status]


_ALL = (
    Kind(
        code="malformed_json",
        status=400,
        title="The body is not strict JSON",
        meaning="The body is no UTF-8 JSON text, or holds what other readers take differently: a member "
        "twice, NaN, a number past all range, a lone surrogate or a NUL.",
    ),
    Kind(
        code="malformed_query",
        status=400,
        title="The query string cannot be read",
        meaning="A parameter stands twice, or the query string is not percent-encoded UTF-8.",
    ),
    Kind(
        code="bad_cursor",
        status=400,
        title="The cursor is not one of this list",
        meaning="`cursor` was not taken unchanged from a `next_cursor` of the same list.",
    ),
    Kind(
        code="idempotency_key_missing",
        status=400,
        title="Idempotency-Key is missing",
        meaning="What stores something needs the header field Idempotency-Key, so that it is safe to repeat.",
    ),
    Kind(
        code="idempotency_key_malformed",
        status=400,
        title="Idempotency-Key cannot be a key",
        meaning="Idempotency-Key stands once and is 8 to 64 visible ASCII characters.",
    ),
    Kind(
        code="key_in_query",
        status=400,
        title="A key does not belong into an address",
        meaning="A key was sent in the query string, where logs keep it; keys are sent in `Authorization`.",
    ),
    Kind(code="bad_request", status=400, meaning="The request is not HTTP as the service understands it."),
    Kind(
        code="key_missing",
        status=401,
        title="A key is needed",
        meaning="No key was sent as `Authorization: Bearer KEY`.",
    ),
    Kind(
        code="key_not_valid",
        status=401,
        title="The key is not good",
        meaning="The key was mistyped, does not exist, has expired or was revoked; `detail` says which.",
    ),
    Kind(
        code="insufficient_scope",
        status=403,
        title="The key is not good for this",
        meaning="The key lacks the scope that `WWW-Authenticate` names.",
    ),
    Kind(code="not_found", status=404, meaning="There is nothing at this address."),
    Kind(
        code="unknown_model",
        status=404,
        title="No such model",
        meaning="The catalogue has no model of this id.",
    ),
    Kind(
        code="unknown_part",
        status=404,
        title="No such part",
        meaning="The catalogue has no part of this order number or printed number.",
    ),
    Kind(
        code="unknown_unit",
        status=404,
        title="Nothing is known of this unit",
        meaning="The unit is not recorded, and no scheme of the catalogue reads its serial.",
    ),
    Kind(
        code="unknown_board",
        status=404,
        title="Nothing is known of this board",
        meaning="The board is not recorded, and no scheme of the catalogue reads its serial.",
    ),
    Kind(
        code="unknown_sale_check",
        status=404,
        title="No such sale check",
        meaning="There is no answer of the till by this id, or it is somebody else's.",
    ),
    Kind(
        code="method_not_allowed",
        status=405,
        meaning="The address is right and the method is not; `Allow` lists those that are.",
    ),
    Kind(
        code="not_acceptable", status=406, meaning="No media type that the call accepts can be written here."
    ),
    Kind(
        code="version_conflict",
        status=409,
        title="The ledger has moved on",
        meaning="A board or unit has another version than `expected` says; `now` tells how it stands.",
    ),
    Kind(
        code="already_bound",
        status=409,
        title="The board is bound already",
        meaning="Another event bound the board first, permanently; `now` tells to which model.",
    ),
    Kind(
        code="not_legal",
        status=409,
        title="The ledger says otherwise",
        meaning="An event cannot have happened as the ledger stands: `refusals` says why, `now` what is "
        "true, `instead` what to record.",
    ),
    Kind(
        code="not_correctable",
        status=409,
        title="The event cannot be withdrawn",
        meaning="There is no such event, it is withdrawn already, or a later event rests on it.",
    ),
    Kind(
        code="check_outdated",
        status=409,
        title="The check is outdated",
        meaning="Decision, conditions or price are not as they were told: `changed` says what, `decision` "
        "what a new check would say. Nothing was sold.",
    ),
    Kind(
        code="sold_meanwhile",
        status=409,
        title="The board is sold",
        meaning="Another till was first, or this check was completed before.",
    ),
    Kind(
        code="not_for_sale",
        status=409,
        title="Nothing is sold on this check",
        meaning="Its decision is not to sell, it is about the past, or about a board that is brought.",
    ),
    Kind(code="content_too_large", status=413, meaning="The body is larger than the service reads."),
    Kind(
        code="unsupported_media_type",
        status=415,
        meaning="A body must be `application/json`, in UTF-8 and without a content encoding.",
    ),
    Kind(
        code="invalid_request",
        status=422,
        title="The request does not say what it must",
        meaning="It was read and has faults of form or meaning; `errors` names the place and the mend of "
        "each.",
    ),
    Kind(
        code="idempotency_key_reused",
        status=422,
        title="The Idempotency-Key came before, with other content",
        meaning="A repeated request has the content of the first; another thing to be done has a new key.",
    ),
    Kind(
        code="too_many_requests",
        status=429,
        title="The key was used too often",
        meaning="The key's requests of this minute are used up; go on after `Retry-After` seconds.",
    ),
    Kind(
        code="internal_error",
        status=500,
        meaning="A fault of the service; the request id finds it in its log.",
    ),
    Kind(
        code="no_catalogue",
        status=503,
        title="No catalogue is published",
        meaning="The service has no catalogue to answer from yet.",
    ),
    Kind(
        code="stopping",
        status=503,
        title="The service is about to stop",
        meaning="This server was told to stop and finishes what it is sent: send what is new to another.",
    ),
    Kind(
        code="store_unavailable",
        status=503,
        title="The store cannot be reached",
        meaning=(
            "The database did not answer, or cannot be written now. Try again after `Retry-After`; what "
            "records something with the same `Idempotency-Key`, so that it is recorded once."
        ),
    ),
)

KINDS = {kind.code: kind for kind in _ALL}
"""All kinds by code."""

BY_STATUS = {
    400: "bad_request",
    404: "not_found",
    405: "method_not_allowed",
    406: "not_acceptable",
    413: "content_too_large",
    415: "unsupported_media_type",
    500: "internal_error",
}
"""The kind of an error that the framework raises itself."""
