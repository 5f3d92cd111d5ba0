"""The query string, read strictly: what would be guessed at elsewhere is refused here.

The framework's own reader turns bytes that are not UTF-8 into U+FFFD and takes one of a repeated
parameter; either would answer a question that nobody asked. Source: RFC 3986 section 2.1 for the
percent-encoding; repeated parameters are this service's own rule.
"""

from __future__ import annotations

import re

from service.api.problems import Problem, in_parameter
from service.usecases.mending import shown

_CONTROL = re.compile(r"[\x00-\x1f\x7f]")
_ESCAPE = re.compile(rb"%([0-9A-Fa-f]{2})?")


def read(raw: bytes) -> dict[str, str]:
    """Parameters by name. Raises `Problem` (malformed_query, 400)."""
    found: dict[str, str] = {}
    for pair in raw.split(b"&"):
        if not pair:
            continue
        name_bytes, _, value_bytes = pair.partition(b"=")
        name = _text(name_bytes, "")
        value = _text(value_bytes, name)
        if name in found:
            raise _malformed(name, f"{shown(name)} stands twice: give it once")
        found[name] = value
    return found


def _text(raw: bytes, name: str) -> str:
    plain = raw.replace(b"+", b" ")
    if b"%" in raw:
        if any(escape[1] is None for escape in _ESCAPE.finditer(raw)):
            raise _malformed(name, "a % that starts no escape: write %25 for a percent sign")
        plain = _ESCAPE.sub(lambda m: bytes([int(m[1], 16)]), plain)
    try:
        text = plain.decode("utf-8")
    except UnicodeDecodeError:
        raise _malformed(name, "bytes that are not UTF-8: percent-encode the text as UTF-8") from None
    if _CONTROL.search(text):
        raise _malformed(name, "a control character: leave it out")
    return text


def _malformed(name: str, detail: str) -> Problem:
    return Problem("malformed_query", f"the query string holds {detail}", [in_parameter(name, detail)])
