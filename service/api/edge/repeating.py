"""Which request this is: the Idempotency-Key header field, and a fingerprint of what was sent.

Source: IETF draft draft-ietf-httpapi-idempotency-key-header-07. There the field is a Structured Fields
string, in quotes; the plain form is taken too.
"""

from __future__ import annotations

import hashlib
import json
import re
from typing import Any

from flask import Request

from service.api.problems import Problem, in_header
from service.usecases.repeats import Repeat

HEADER = "Idempotency-Key"
SHORTEST, LONGEST = 8, 64

_QUOTED = re.compile(r'"((?:[^"\\]|\\["\\])*)"\Z')
_VISIBLE = re.compile(rf"[!-~]{{{SHORTEST},{LONGEST}}}\Z")

MEND = f"send a new one for each thing to be done, {SHORTEST} to {LONGEST} visible ASCII characters"

PARAMETER: dict[str, Any] = {
    "in": "header",
    "name": HEADER,
    "required": True,
    "description": "Makes it safe to send the request again: with the same key and the same content it is "
    f"done once, and answered with the first answer for at least 48 hours. {SHORTEST} to {LONGEST} visible "
    "ASCII characters, a new key (a UUID, say) for each thing to be done; quotes around it are left out.",
    "schema": {"type": "string", "minLength": SHORTEST, "maxLength": LONGEST},
    "example": "3f6c1d2e-4b5a-4978-9d0e-1f2a3b4c5d6e",
}
"""A plain text in the document: generators of clients and of calls cannot write quoted forms."""


def repeat_of(request: Request, sent: Any) -> Repeat:
    """The request as one that may be repeated. `sent` is the body as JSON values.

    Raises `Problem`: idempotency_key_missing, idempotency_key_malformed (400).
    """
    # The same members in another order are the same content.
    content = json.dumps(sent, sort_keys=True, separators=(",", ":"))
    fingerprint = hashlib.sha256(content.encode("utf-8", "surrogatepass")).hexdigest()
    return Repeat(method=request.method, path=request.path, key=_key(request), fingerprint=fingerprint)


def _key(request: Request) -> str:
    values = request.headers.getlist(HEADER)
    if not values:
        raise _refused("idempotency_key_missing", f"is missing: {MEND}")
    key = _unquoted(values[0])
    if len(values) > 1 or not _VISIBLE.match(key):
        raise _refused("idempotency_key_malformed", f"cannot be a key: {MEND}")
    return key


def _unquoted(value: str) -> str:
    """The text of a string in quotes; nothing where the quotes are not closed or escape something else."""
    if not value.startswith('"'):
        return value
    quoted = _QUOTED.match(value)
    return re.sub(r"\\(.)", r"\1", quoted.group(1)) if quoted else ""


def _refused(code: str, wrong: str) -> Problem:
    return Problem(code, f"{HEADER} {wrong}", [in_header(HEADER, wrong)])
