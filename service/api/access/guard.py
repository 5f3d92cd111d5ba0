"""The guard: nothing is read, looked up or answered for a call before its key is.

Deny by default: an address whose operation says nothing of its scope stops the app from being made.
"""

from __future__ import annotations

import re
import time
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from flask import Flask, Request

from service.api.access import refusals
from service.api.access.addresses import Network, asks_from
from service.api.access.rates import Rates
from service.api.calling import asked
from service.api.seeing.seen import SEEN
from service.store.keyring import Keyring
from service.usecases.admitting import Admission, KeyRefused, admit
from service.usecases.caller import NOBODY, Caller, Scope

METRICS = "metrics.metrics"
"""The endpoint that watchers may read."""

_BEARER = re.compile(r"bearer +(\S.*)\Z", re.IGNORECASE)
_KEY_IN_QUERY = re.compile(rb"bfk(?:_|%5[fF])|\b(?:access_token|api_key)=")
"""Anything that looks like one of our keys, and the names under which other services take theirs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Access:
    """Who is let in."""

    keyring: Keyring[Admission]
    rates: Rates
    watchers: Collection[Network] = ()
    """Networks that read `/metrics` without a key."""
    origins: frozenset[str] = frozenset()
    """Web origins whose pages may ask (see `cors`)."""


def register(app: Flask, access: Access) -> None:
    """Guard every address that the app has by now. Raises ValueError for one that says no scope."""
    needed = _scopes(app)

    @app.before_request
    def guard() -> None:
        found = asked()
        # An address that does not exist has no secrets, and a preflight cannot carry a key.
        if found.endpoint is None or found.method == "OPTIONS":
            return
        if _KEY_IN_QUERY.search(found.query_string):
            raise refusals.key_in_query()
        scope = needed[found.endpoint]
        if scope is None or (found.endpoint == METRICS and asks_from(found, access.watchers)):
            found.caller = NOBODY
        else:
            found.caller = _admitted(access, found, scope)


def _admitted(access: Access, asked: Request, scope: Scope) -> Caller:
    """First who it is, then how often, then what for: what is refused counts as well."""
    try:
        admission = admit(access.keyring, _written_key(asked), time.time())
    except KeyRefused as fault:
        raise refusals.key_not_valid(fault.why) from None
    seen = asked.environ[SEEN]
    seen.key_id = admission.key.id
    counted = access.rates.count(admission.key.id, admission.key.rate)
    if counted is not None:
        seen.fields += counted.fields()
        if not counted.within:
            raise refusals.too_many_requests(counted.limit.amount, counted.seconds)
    if scope not in admission.caller.scopes:
        raise refusals.insufficient_scope(scope)
    return admission.caller


def _written_key(asked: Request) -> str:
    found = _BEARER.match(asked.environ.get("HTTP_AUTHORIZATION", ""))
    if found is None:
        raise refusals.key_missing()
    return found[1]


def _scopes(app: Flask) -> Mapping[str, Scope | None]:
    """What each endpoint needs, as its operation says."""
    silent = [name for name, view in app.view_functions.items() if not hasattr(view, "scope")]
    if silent:
        raise ValueError(f"no scope is said for {', '.join(silent)}")
    return {name: vars(view)["scope"] for name, view in app.view_functions.items()}
