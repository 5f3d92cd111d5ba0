"""One problem: raised anywhere at the edge, turned into a response in one place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from service.api.problems.kinds import KINDS

MAX_FAULTS = 50
"""A body with thousands of faults is told its first ones; nobody mends more in one go."""


MAX_PLACE = 300
"""The longest pointer or name of a parameter that a fault tells."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One place that is wrong, and how to mend it."""

    detail: str
    place: Mapping[str, str]
    """`{"pointer": "#/boards/0"}` (RFC 6901 as a URI fragment), `{"parameter": …}` or `{"header": …}`."""

    def as_json(self) -> dict[str, str]:
        return {"detail": self.detail, **self.place}


def in_body(path: Sequence[str | int], detail: str) -> Fault:
    """A fault in the body, at a path of member names and positions."""
    return Fault(detail=detail, place={"pointer": pointer(path)})


def in_parameter(name: str, detail: str) -> Fault:
    """A fault in a query or path parameter. A made-up name of any length is cut."""
    return Fault(detail=detail, place={"parameter": name[:MAX_PLACE]})


def in_header(name: str, detail: str) -> Fault:
    """A fault in a header field."""
    return Fault(detail=detail, place={"header": name})


def pointer(path: Sequence[str | int]) -> str:
    """The JSON Pointer of a path, as a URI fragment (RFC 6901 sections 3 and 6).

    Where a name that the caller made up would make it too long, it ends at the object that holds the name.
    """
    whole = "#"
    for step in path:
        longer = f"{whole}/{_token(step)}"
        if len(longer) > MAX_PLACE:
            break
        whole = longer
    return whole


def _token(step: str | int) -> str:
    kept = str(step).replace("~", "~0").replace("/", "~1")
    # A name that was made up by the caller goes into the fragment percent-encoded, whatever it holds.
    return "".join(c if c.isascii() and (c.isalnum() or c in "-._~") else _percent(c) for c in kept)


def _percent(character: str) -> str:
    return "".join(f"%{byte:02X}" for byte in character.encode("utf-8", "replace"))


@dataclass(eq=False)
class Problem(Exception):
    """An error that the caller is told. `code` is one of `KINDS`."""

    code: str
    detail: str
    errors: Sequence[Fault] = ()
    headers: Mapping[str, str] = field(default_factory=dict)
    members: Mapping[str, Any] = field(default_factory=dict)
    """Extension members (RFC 9457 section 3.2): what a program needs to go on."""

    def as_json(self) -> dict[str, Any]:
        """The members of the problem, most telling first."""
        kind = KINDS[self.code]
        body: dict[str, Any] = {
            "type": kind.type,
            "title": kind.shown_title,
            "status": kind.status,
            "code": kind.code,
            "detail": self.detail,
        }
        if self.errors:
            body["errors"] = [fault.as_json() for fault in self.errors[:MAX_FAULTS]]
        return {**body, **self.members}


def invalid(errors: Sequence[Fault]) -> Problem:
    """The problem of a request that was read and has faults of form or meaning."""
    first = errors[0]
    where = next(iter(first.place.values()))
    more = len(errors) - 1
    tail = "" if not more else f" (and {more} more: see errors)"
    return Problem("invalid_request", f"{where}: {first.detail}{tail}", errors)
