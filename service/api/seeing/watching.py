"""Around the app: each request is timed, counted and logged, whatever becomes of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from time import perf_counter
from typing import TYPE_CHECKING, Any

from service.api.seeing.log import RequestLog
from service.api.seeing.metrics import Metrics
from service.api.seeing.seen import SEEN, Seen

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

FAILED = "500"
"""The status of a request that the app gave no answer to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seeing:
    """Where what is seen goes."""

    metrics: Metrics = field(default_factory=Metrics)
    log: RequestLog | None = None


class Watch:
    """A WSGI app that watches another one."""

    def __init__(self, app: WSGIApplication, seeing: Seeing, revision: Callable[[], str | None]) -> None:
        self._app = app
        self._metrics = seeing.metrics
        self._log = seeing.log
        self._revision = revision

    def __call__(self, environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        """Answer as the app does."""
        began = perf_counter()
        seen = environ[SEEN] = Seen(environ)
        status = FAILED

        def start(line: str, headers: list[tuple[str, str]], *fault: Any) -> Callable[[bytes], object]:
            nonlocal status
            status = line[:3]
            headers += seen.fields
            return start_response(line, headers, *fault)

        try:
            return self._app(environ, start)
        finally:
            seconds = perf_counter() - began
            self._metrics.count(seen, status, seconds)
            if self._log is not None:
                self._log.tell(seen, status, seconds, self._revision())
