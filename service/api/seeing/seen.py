"""What is known of one request, gathered while it is answered: by the guard, the views, the problems."""

from __future__ import annotations

import re
import secrets
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, cast

from flask import request

from service.api.seeing.trace import Trace, trace_of
from service.domain.fit.answer import Answer
from service.domain.fit.effort import UNIT

SEEN = "boardfit.seen"
"""Its place in the environment of a request."""

NO_OPERATION = "none"
"""Stands for the operation where there is nothing at the address."""
NO_FACT = "none"
"""Stands for the missing fact where none that the caller could find out would help."""

_TAKEN_OVER = re.compile(r"(?!bfk_)[A-Za-z0-9][A-Za-z0-9._-]{0,63}\Z")
"""A plain id, and no key that was sent in the wrong field: ids are logged."""


class Seen:
    """One request. Everything but the id may stay unknown."""

    __slots__ = (
        "answers",
        "cause",
        "endpoint",
        "fields",
        "key_id",
        "missing",
        "outcome",
        "problem",
        "request_id",
        "trace",
    )

    def __init__(self, environ: Mapping[str, Any]) -> None:
        sent = environ.get("HTTP_X_REQUEST_ID", "")
        self.request_id: str = sent if sent and _TAKEN_OVER.match(sent) else secrets.token_hex(16)
        self.trace: Trace | None = (
            trace_of(environ["HTTP_TRACEPARENT"], environ.get("HTTP_TRACESTATE"))
            if "HTTP_TRACEPARENT" in environ
            else None
        )
        self.fields = [("X-Request-Id", self.request_id), ("X-Content-Type-Options", "nosniff")]
        """Header fields that the answer has, whatever becomes of it."""
        if self.trace is not None:
            self.fields.append(("traceresponse", self.trace.response()))
        self.key_id: str | None = None
        self.endpoint: str | None = None
        self.problem: str | None = None
        """The code of the problem that it ended in."""
        self.outcome: str | None = None
        self.cause: str | None = None
        self.answers: dict[tuple[str, str], int] = {}
        """How many questions of a kind had an outcome."""
        self.missing: dict[tuple[str, str], int] = {}
        """How many could not be told for a cause, with the fact that is asked back for."""

    @property
    def operation(self) -> str:
        return operation_of(self.endpoint)

    def answered(self, kind: str, outcome: str, cause: str | None = None, fact: str | None = None) -> None:
        """One question was answered; `fact` is the one asked back for, by its name in the domain."""
        self.outcome, self.cause = outcome, cause
        self.answers[kind, outcome] = 1
        if cause is not None:
            self.missing[cause, kind_of_fact(fact)] = 1

    def answered_many(self, kind: str, answers: Iterable[Answer], refused: int) -> None:
        """A batch was answered, and so many of it refused."""
        found = list(answers)
        self.answers |= Counter((kind, each.outcome.value) for each in found)
        self.missing |= Counter(
            (each.cause.value, kind_of_fact(each.ask.fact if each.ask else None))
            for each in found
            if each.cause is not None
        )
        if refused:
            self.answers[kind, REFUSED] = refused


REFUSED = "refused"
"""The outcome of an item of a batch that has faults."""


@cache
def operation_of(endpoint: str | None) -> str:
    """The name of an operation, without that of the blueprint it stands in; a closed set."""
    return NO_OPERATION if endpoint is None else endpoint.rpartition(".")[2]


def kind_of_fact(fact: str | None) -> str:
    """A fact's name without its place: a closed set, whatever roles the catalogue has."""
    if fact is None:
        return NO_FACT
    return fact if fact in UNIT else f"board.{fact.rpartition('.')[2]}"


def seen() -> Seen:
    """That of the request that is being answered."""
    return cast("Seen", request.environ[SEEN])
