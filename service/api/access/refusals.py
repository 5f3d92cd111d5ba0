"""The problems of a call that is not let in.

Sources: RFC 9110 section 11.6.1 and RFC 6750 section 3 for `WWW-Authenticate`. The realm is quoted, as
RFC 6750 has it, so the field is written out here.
"""

from __future__ import annotations

from collections.abc import Mapping

from service.api.problems import Problem, in_header
from service.usecases.admitting import Why
from service.usecases.caller import Scope

CHALLENGE = 'Bearer realm="boardfit"'
MEND = "send a key as 'Authorization: Bearer KEY'"

DETAILS: Mapping[Why, str] = {
    Why.MISTYPED: "the key was mistyped or cut: copy it whole, from bfk_ to its last character",
    Why.UNKNOWN: "there is no such key: ask whoever runs the service for one",
    Why.EXPIRED: "the key has expired: ask whoever runs the service for a new one",
    Why.REVOKED: "the key was revoked: ask whoever runs the service for a new one",
}


def key_missing() -> Problem:
    """No key was sent, or not as a bearer token."""
    return Problem(
        "key_missing", MEND, [in_header("Authorization", MEND)], headers={"WWW-Authenticate": CHALLENGE}
    )


def key_not_valid(why: Why) -> Problem:
    """The key is not good."""
    return Problem(
        "key_not_valid",
        DETAILS[why],
        [in_header("Authorization", DETAILS[why])],
        headers={"WWW-Authenticate": f'{CHALLENGE}, error="invalid_token"'},
    )


def insufficient_scope(scope: Scope) -> Problem:
    """The key is good, and not for this."""
    return Problem(
        "insufficient_scope",
        f"the key is not good for this: it needs the scope {scope.value}",
        headers={"WWW-Authenticate": f'{CHALLENGE}, error="insufficient_scope", scope="{scope.value}"'},
    )


def key_in_query() -> Problem:
    """A key stood in the address, where it does not stay secret."""
    return Problem(
        "key_in_query",
        "a key does not belong into an address, which is written into logs and histories: "
        f"{MEND}, and have this one replaced",
    )


def too_many_requests(rate: int, seconds: int) -> Problem:
    """The key was used more often than it may be."""
    return Problem(
        "too_many_requests",
        f"the key is good for {rate} requests a minute: go on in {seconds} seconds, or ask in a batch",
        headers={"Retry-After": str(seconds)},
    )
