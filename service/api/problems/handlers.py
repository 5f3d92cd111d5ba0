"""Everything that can go wrong ends here, once, as problem+json."""

from __future__ import annotations

import logging

import orjson
from flask import Flask, Response, request
from sqlalchemy.exc import DataError, DBAPIError
from sqlalchemy.exc import TimeoutError as NoConnectionFree
from werkzeug.exceptions import HTTPException

from service.api.access.refusals import insufficient_scope
from service.api.problems.kinds import BY_STATUS, KINDS
from service.api.problems.problem import Fault, Problem, in_body, in_header, in_parameter, invalid
from service.api.seeing.seen import seen
from service.store.away import is_away
from service.store.errors import InvalidEvents
from service.usecases import mending as usecases
from service.usecases.caller import MissingScope
from service.usecases.mending import NotFound, Refused
from service.usecases.repeats import KeyReused
from service.usecases.shop import NoCatalogue

log = logging.getLogger("boardfit")

DETAILS = {
    404: "there is nothing at this address: see /openapi.yaml or /docs for those that exist",
    405: "this address does not take this method: use one of those in Allow",
    413: "the body is larger than the service reads: ask in several calls",
    500: "the service failed at this: report the request id in X-Request-Id",
}
RETRY_AFTER = {"Retry-After": "5"}
AWAY = "the database did not answer: try again after Retry-After seconds"
# Where the connection broke while the database was keeping something, nobody here knows whether it did.
AWAY_WHEN_WRITING = (
    "the database did not say that anything was recorded: send the very request again after Retry-After "
    "seconds, with the same Idempotency-Key, and it is recorded once"
)
NOTHING_PUBLISHED = Problem(
    "no_catalogue", "publish a catalogue: python -m service catalogue publish FILE", headers=RETRY_AFTER
)

STOPPING = Problem("stopping", "this server is about to stop: send requests to another", headers=RETRY_AFTER)


def register(app: Flask) -> None:
    """Tell the app how each kind of error is answered."""
    app.register_error_handler(Problem, respond)
    app.register_error_handler(HTTPException, _from_framework)
    app.register_error_handler(MissingScope, _from_missing_scope)
    app.register_error_handler(NotFound, _from_not_found)
    app.register_error_handler(Refused, _from_refused)
    app.register_error_handler(NoCatalogue, _from_no_catalogue)
    app.register_error_handler(KeyReused, _from_reused_key)
    app.register_error_handler(DBAPIError, _from_database)
    app.register_error_handler(NoConnectionFree, _from_busy_pool)
    # The databases differ in what they cannot hold; what slipped past the edge is the caller's to mend.
    for unstorable in (DataError, InvalidEvents, OverflowError, UnicodeEncodeError):
        app.register_error_handler(unstorable, _from_unstorable)


def respond(problem: Problem) -> Response:
    """The response of a problem. `status` in the body is the real one."""
    seen().problem = problem.code
    return Response(
        orjson.dumps(problem.as_json()),
        status=KINDS[problem.code].status,
        headers={"Cache-Control": "no-store", "Content-Language": "en", **problem.headers},
        content_type="application/problem+json",
    )


def _this_call() -> dict[str, str]:
    """The call as a log names it. Its address is left out: it may hold a serial, or anything."""
    mine = seen()
    return {"request": mine.request_id, "key": mine.key_id or "none", "operation": mine.operation}


def _from_framework(error: HTTPException) -> Response:
    status = error.code or 500
    if status < 400:
        return Response(status=status, headers=error.get_headers())
    code = BY_STATUS.get(status, "bad_request" if status < 500 else "internal_error")
    if code == "internal_error":
        log.error("unhandled error", extra=_this_call(), exc_info=getattr(error, "original_exception", None))
    # A 405 without Allow breaks RFC 9110, so what the framework says in headers is kept.
    kept = {name: value for name, value in error.get_headers() if name in ("Allow", "Retry-After")}
    return respond(
        Problem(code, DETAILS.get(status, "the request cannot be read: see the document"), headers=kept)
    )


def _from_missing_scope(error: MissingScope) -> Response:
    return respond(insufficient_scope(error.scope))


def _from_not_found(error: NotFound) -> Response:
    return respond(Problem(f"unknown_{error.kind}", str(error)))


def _from_no_catalogue(error: NoCatalogue) -> Response:  # noqa: ARG001 - the framework's signature
    return respond(NOTHING_PUBLISHED)


def _from_reused_key(error: KeyReused) -> Response:  # noqa: ARG001 - the framework's signature
    mend = "came before with other content: send a new one, or the very request that it was first sent with"
    return respond(
        Problem("idempotency_key_reused", f"Idempotency-Key {mend}", [in_header("Idempotency-Key", mend)])
    )


def _from_refused(error: Refused) -> Response:
    asked = request.method in ("GET", "HEAD")
    return respond(invalid([_placed(fault, in_query=asked) for fault in error.faults]))


def _placed(fault: usecases.Fault, *, in_query: bool) -> Fault:
    return in_parameter(str(fault.path[0]), fault.detail) if in_query else in_body(fault.path, fault.detail)


def _from_database(error: DBAPIError) -> Response:
    if not is_away(error):
        log.error("database error", extra=_this_call(), exc_info=error)
        return respond(Problem("internal_error", DETAILS[500]))
    log.warning("database unavailable: %s", error.orig, extra=_this_call())
    return _unavailable()


def _from_busy_pool(error: NoConnectionFree) -> Response:
    log.warning("no connection free: %s", error, extra=_this_call())
    return _unavailable()


def _unavailable() -> Response:
    detail = AWAY_WHEN_WRITING if "Idempotency-Key" in request.headers else AWAY
    return respond(Problem("store_unavailable", detail, headers=RETRY_AFTER))


def _from_unstorable(error: Exception) -> Response:
    log.warning("a value got past the edge: %s", type(error).__name__, extra=_this_call())
    detail = "a text or number holds what no record can hold: write it as on the label"
    return respond(invalid([in_body((), detail)]))
