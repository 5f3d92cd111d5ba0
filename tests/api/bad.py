"""One bad input: what is sent, and what has to come back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.problem_shape import places, problem_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Bad:
    """`at`: the pointer, parameter or header that is named; `mend`: a pattern that the mend must match."""

    name: str
    status: int
    code: str
    at: str | None
    mend: str
    path: str = "/v1/fit-checks"
    method: str = "POST"
    sent: Mapping[str, Any] = field(default_factory=dict)

    def check(self, client: FlaskClient) -> None:
        response = client.open(self.path, method=self.method, **self.sent)
        problem = problem_of(response)
        assert (response.status_code, problem["code"]) == (self.status, self.code), problem["detail"]
        if self.at is not None:
            assert self.at in places(problem), problem
        told = [problem["detail"], *(fault["detail"] for fault in problem.get("errors", ()))]
        assert any(re.search(self.mend, text) for text in told), told


def cases(bad: Iterable[Bad]) -> list[Any]:
    """The parameters of a test, each under its number and name."""
    return [pytest.param(each, id=f"{number} {each.name}") for number, each in enumerate(bad, start=1)]


def get(target: str, at: str | None, mend: str, *, status: int = 422, code: str = "invalid_request") -> Bad:
    """A bad query or path."""
    return Bad(name=target, status=status, code=code, at=at, mend=mend, path=target, method="GET")


def post(body: Any, at: str, mend: str, *, path: str = "/v1/fit-checks") -> Bad:
    """A body that is JSON and breaks the schema or has no meaning."""
    return Bad(
        name=f"{at} {body}"[:60].encode("ascii", "replace").decode(),
        status=422,
        code="invalid_request",
        at=at,
        mend=mend,
        path=path,
        sent={"json": body},
    )
