"""The caller's trace: which of its operations asked (W3C Trace Context).

Source: W3C Recommendation Trace Context (Level 1), sections "Traceparent Header" and "Tracestate Header";
Level 2 (Candidate Recommendation Draft of 28 March 2024) for the key of a list member and `traceresponse`.
We call nobody, so there is nobody to hand the trace on to: it is told in the log, and the answer names our
own operation in it.
"""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass

_PARENT = re.compile(r"([0-9a-f]{2})-([0-9a-f]{32})-([0-9a-f]{16})-([0-9a-f]{2})(-.*)?\Z", re.ASCII)
"""Lower case only (`HEXDIGLC`); what follows after 55 characters begins with a dash ("Versioning")."""
_FORBIDDEN_VERSION = "ff"
_FIRST_VERSION = "00"
_NO_TRACE, _NO_PARENT = "0" * 32, "0" * 16
_SAMPLED = 1
"""The one flag that is passed on: the others are set to zero ("Other Flags")."""

_MEMBER = re.compile(r"([a-z0-9][a-z0-9_*/@-]{0,255})=[ -+\--<>-~]{0,255}[!-+\--<>-~]\Z", re.ASCII)
_MOST_MEMBERS = 32
_LONGEST_STATE = 512
"""So much of it has to be carried at least ("tracestate Limits"); more is left out whole."""
_OUR_KEYS = "bfk_"
"""What no log may hold, wherever it was sent."""


@dataclass(frozen=True, slots=True)
class Trace:
    """A trace that a request is part of."""

    id: str
    parent: str
    """The operation that asked."""
    sampled: bool
    state: str
    """What other systems carry along, as it came; empty where there is none that can be read."""
    span: str
    """This operation of ours."""

    def response(self) -> str:
        """The value of `traceresponse`."""
        return f"00-{self.id}-{self.span}-0{int(self.sampled)}"


def trace_of(parent: str | None, state: str | None) -> Trace | None:
    """The trace of these two header fields; None where the first cannot be read, and then nor is the second.

    A field that was sent twice is joined by a comma by the server, and so cannot be read.
    """
    found = _PARENT.match(parent) if parent else None
    if found is None:
        return None
    version, trace, span, flags, more = found.groups()
    if version == _FORBIDDEN_VERSION or trace == _NO_TRACE or span == _NO_PARENT:
        return None
    if version == _FIRST_VERSION and more is not None:
        return None
    return Trace(
        id=trace,
        parent=span,
        sampled=bool(int(flags, 16) & _SAMPLED),
        state=_readable(state) if state else "",
        span=secrets.token_hex(8),
    )


def _readable(state: str) -> str:
    """The members of a `tracestate`; empty where one of them cannot be read or comes twice."""
    # Spaces and tabs around a member are no part of it, and empty members are allowed.
    members = [each for each in (part.strip(" \t") for part in state.split(",")) if each]
    found = [_MEMBER.match(each) for each in members]
    keys = {each[1] for each in found if each}
    if not len(keys) == len(members) <= _MOST_MEMBERS:
        return ""
    joined = ",".join(members)
    return "" if len(joined) > _LONGEST_STATE or _OUR_KEYS in joined else joined
