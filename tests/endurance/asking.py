"""A client as a shop's other system is one: it keeps its connection, and has a key for each of its writes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from http.client import HTTPConnection
from typing import Any

from tests.support.keys import SUITE, bearer

TIMEOUT = 60
"""Seconds after which a server is taken to hang: longer than all its own timeouts."""
AT = "2026-01-05T10:00:00Z"


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    status: int
    headers: Mapping[str, str]
    body: bytes

    @property
    def replayed(self) -> bool:
        return self.headers.get("Idempotency-Replayed") == "true"

    def json(self) -> Any:
        return json.loads(self.body)


@dataclass(frozen=True, slots=True)
class Write:
    """A request that records something."""

    key: str
    body: bytes

    def headers(self) -> dict[str, str]:
        kind = {"Content-Type": "application/json", "Idempotency-Key": self.key}
        return {**bearer(SUITE.written()), **kind}


class Client:
    """One connection, made anew after every failure. Raises OSError or HTTPException."""

    def __init__(self, port: int, *, timeout: int = TIMEOUT) -> None:
        self._connection = HTTPConnection("127.0.0.1", port, timeout=timeout)

    def get(self, path: str) -> Answer:
        return self._ask("GET", path, None, bearer(SUITE.written()))

    def record(self, write: Write) -> Answer:
        return self._ask("POST", "/v1/events", write.body, write.headers())

    def record_and_leave(self, write: Write) -> None:
        """Send all of a write, and go away before the answer."""
        self._connection.request("POST", "/v1/events", write.body, write.headers())
        self.close()

    def leave_in_the_middle(self, write: Write) -> None:
        """Send half of a write, and go away."""
        headers = {**write.headers(), "Content-Length": str(len(write.body))}
        self._connection.request("POST", "/v1/events", write.body[: len(write.body) // 2], headers)
        self.close()

    def close(self) -> None:
        self._connection.close()

    def _ask(self, method: str, path: str, body: bytes | None, headers: Mapping[str, str]) -> Answer:
        try:
            self._connection.request(method, path, body, dict(headers))
            response = self._connection.getresponse()
            return Answer(response.status, dict(response.headers), response.read())
        except BaseException:
            self._connection.close()
            raise


def event(kind: str, **data: Any) -> dict[str, Any]:
    """An event as it is sent."""
    return {"kind": kind, "occurred_at": AT, "data": data}
