"""Runs schemathesis against an app in this process, with every check, and collects what failed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import count
from typing import Any
from unittest.mock import patch

import schemathesis
from flask import Flask
from schemathesis.engine import events, from_schema
from schemathesis.generation import GenerationMode
from schemathesis.transport.wsgi import WSGI_TRANSPORT

from tests.contract.meaning import sensible_body, sensible_check, sensible_query
from tests.support.keys import SUITE, bearer

OF_SOCKETS = {"max_redirects", "verify", "cert", "proxies"}
_KEYS = count(1)
PHASES = ("examples", "coverage", "fuzzing", "stateful")


@dataclass(slots=True)
class Result:
    """What a run did and what failed in it."""

    cases: Counter[str] = field(default_factory=Counter)
    """Calls by phase."""
    checks: Counter[str] = field(default_factory=Counter)
    """Checks made, by name."""
    failures: list[str] = field(default_factory=list)


def run(
    app: Flask,
    phases: Iterable[str],
    examples: int,
    leave_out: Sequence[str] = (),
    sample: Sequence[str] = (),
) -> Result:
    """Generate calls from the app's own document and check every response. The same calls every time.

    `leave_out` are the ids of operations that take no part; of those in `sample` every tenth call is made.
    The app is one of `keyed_app`; that a call without its key is refused is one of the checks.
    """
    schema = schemathesis.openapi.from_wsgi("/openapi.yaml", app)
    taking_part = schema.exclude(operation_id=list(leave_out)) if leave_out else schema
    config = taking_part.config
    config.update(headers=bearer(SUITE.written()))
    config.generation.max_examples = examples
    config.generation.deterministic = True
    config.generation.database = "none"
    # No schema language can say "no NUL anywhere"; `tests/api` sends them.
    config.generation.allow_x00 = False
    # Thousands of questions are refused for their size before they are counted: a refusal as good as any.
    rejection = config.checks.negative_data_rejection
    rejection.expected_statuses = [*rejection.expected_statuses, "413"]
    wanted = tuple(phases)
    for phase in PHASES:
        getattr(config.phases, phase).enabled = phase in wanted
    if sample:
        taking_part.hook(_every_tenth_of(sample))
    result = Result()
    with patch.object(WSGI_TRANSPORT, "send", _sent_in_process(WSGI_TRANSPORT.send)):
        for event in from_schema(taking_part).execute():
            _take(result, event)
    return result


def _every_tenth_of(operations: Sequence[str]) -> Callable[..., bool]:
    generated: Counter[str] = Counter()

    def filter_case(context: Any, case: Any) -> bool:  # noqa: ARG001 - the hook's name and signature
        name = case.operation.definition.raw.get("operationId")
        generated[name] += 1
        return name not in operations or generated[name] % 10 == 1

    return filter_case


def _sent_in_process(send: Callable[..., Any]) -> Callable[..., Any]:
    """The library tries a call again without its key and passes on settings of sockets, which a call in this
    process has none of; the library itself leaves them out of all other calls."""

    def sent(case: Any, **settings: Any) -> Any:
        return send(case, **{name: value for name, value in settings.items() if name not in OF_SOCKETS})

    return sent


@schemathesis.hook
def before_call(context: Any, case: Any, kwargs: Any) -> None:  # noqa: ARG001 - the hook's signature
    """A call that is right by the document gets names that exist."""
    if case.meta is None or case.meta.generation.mode is not GenerationMode.POSITIVE:
        return
    if isinstance(case.query, dict):
        sensible_query(case.operation.path, case.query)
    if isinstance(case.body, dict):
        sensible_body(case.operation.path, case.body)
        sensible_check(case.operation.path, case.path_parameters, case.body)
    if case.headers and "Idempotency-Key" in case.headers:
        # Two calls that are right by the document are two things to be done.
        case.headers["Idempotency-Key"] = f"generated-{next(_KEYS):08d}"


def _take(result: Result, event: Any) -> None:
    if isinstance(event, events.NonFatalError | events.FatalError):
        result.failures.append(str(getattr(event, "info", event)))
    if not isinstance(event, events.ScenarioFinished):
        return
    for case_id, checks in event.recorder.checks.items():
        result.cases[event.phase.value] += 1
        for check in checks:
            result.checks[check.name] += 1
            if check.failure_info is not None:
                case = event.recorder.cases[case_id].value
                told = str(check.failure_info.failure).replace("\n", " ")
                result.failures.append(f"{event.phase.value}: {case.as_curl_command()}: {told}")
