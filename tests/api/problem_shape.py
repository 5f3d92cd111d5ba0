"""What every problem looks like: RFC 9457, and what this service promises beyond it.

The schema states the facts of RFC 9457 appendix A (JSON Schema for HTTP problem details): `type` and
`instance` are URI references, `title` and `detail` texts, `status` a number from 100 to 599, nothing is
required, extensions are allowed. Read as the working group's schema text.
"""

from __future__ import annotations

from typing import Any

from jsonschema import Draft202012Validator, FormatChecker, ValidationError  # type: ignore[import-untyped] # it carries no types
from werkzeug.test import TestResponse

from service.api.problems.kinds import KINDS

RFC_9457 = {
    "type": "object",
    "properties": {
        "type": {"type": "string", "format": "uri-reference"},
        "title": {"type": "string"},
        "status": {"type": "integer", "minimum": 100, "maximum": 599},
        "detail": {"type": "string"},
        "instance": {"type": "string", "format": "uri-reference"},
    },
}
FORMATS = FormatChecker()
Invalid = ValidationError
VALIDATOR = Draft202012Validator(RFC_9457, format_checker=FORMATS)


def problem_of(response: TestResponse) -> dict[str, Any]:
    """The problem in a response, after all that holds for every problem was asserted."""
    assert response.content_type == "application/problem+json"
    body: dict[str, Any] = response.get_json(force=True)
    VALIDATOR.validate(body)
    kind = KINDS[body["code"]]
    assert body["status"] == response.status_code == kind.status
    assert body["type"] == kind.type
    assert body["title"] == kind.shown_title
    assert body["detail"]
    assert response.headers["Cache-Control"] == "no-store"
    assert response.headers["X-Request-Id"]
    for fault in body.get("errors", ()):
        assert set(fault) - {"detail"} in ({"pointer"}, {"parameter"}, {"header"})
        assert fault["detail"]
    return body


def places(problem: dict[str, Any]) -> set[str]:
    """Where a problem says that something is wrong."""
    return {value for fault in problem.get("errors", ()) for name, value in fault.items() if name != "detail"}
