"""JSON as RFC 8259 means it, and nothing that two readers would take differently.

The stock loader takes NaN, Infinity, 1e400, repeated members, lone surrogates and NUL, and turns an
integer of 5,000 digits into an error of its own; each of them becomes a problem here, before any
schema or database meets it. RFC 7493 (I-JSON) asks for the same.
"""

from __future__ import annotations

import json
import math
from typing import Any, Never

from service.api.problems import Fault, Problem, in_body
from service.usecases.mending import shown

MAX_DIGITS = 100
"""Longer numbers mean nothing in this service, and reading them takes time that grows with their square."""
MAX_DEPTH = 24
"""The deepest request body has five levels."""


class _Refused(ValueError):
    """Raised by the hooks; its text is the mend."""


def load(body: bytes) -> Any:
    """The value of a JSON text. Raises `Problem` (malformed_json, 400) that says what to mend."""
    text = _decoded(body)
    try:
        value = json.loads(
            text, object_pairs_hook=_members, parse_constant=_constant, parse_float=_real, parse_int=_whole
        )
    except _Refused as refused:
        raise _malformed(str(refused)) from None
    except json.JSONDecodeError as error:
        raise _malformed(f"no JSON at line {error.lineno}, column {error.colno}: {_mend(error)}") from None
    except RecursionError:
        raise _too_deep() from None
    _check_inside(text, value)
    return value


def _decoded(body: bytes) -> str:
    if not body.strip():
        raise _malformed("the body is empty: send a JSON object")
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _malformed(f"byte {error.start} is not UTF-8: send JSON encoded in UTF-8") from None


def _mend(error: json.JSONDecodeError) -> str:
    if error.msg.startswith("Unexpected UTF-8 BOM"):
        return "leave the byte order mark out"
    return error.msg[0].lower() + error.msg[1:]


def _malformed(detail: str, *errors: Fault) -> Problem:
    return Problem("malformed_json", detail, errors or (in_body((), detail),))


def _too_deep() -> Problem:
    return _malformed(f"nested more than {MAX_DEPTH} levels deep: send the documented shape")


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _Refused(f"the member {shown(twice)} stands twice in one object: keep one")
    return members


def _constant(name: str) -> Never:
    raise _Refused(f"{name} is no JSON number: leave the member out where there is no value")


def _real(digits: str) -> float:
    value = float(digits)
    if math.isinf(value):
        raise _Refused(f"the number {shown(digits)} is out of range: send one below 1e308")
    return value


def _whole(digits: str) -> int:
    if len(digits) > MAX_DIGITS:
        raise _Refused(f"a number of {len(digits)} digits: send at most {MAX_DIGITS}")
    return int(digits)


def _check_inside(text: str, value: Any) -> None:
    """Depth, and the characters that only an escape can bring in."""
    escapes = "\\u" in text
    if not escapes and text.count("[") + text.count("{") <= MAX_DEPTH:
        return
    _check_depth(value)
    if not escapes:
        return
    todo: list[tuple[tuple[str | int, ...], Any]] = [((), value)]
    while todo:
        path, item = todo.pop()
        if isinstance(item, str):
            _check_text(path, item)
        elif isinstance(item, dict):
            for name in item:
                _check_text(path, name)
            todo.extend(((*path, name), inner) for name, inner in item.items())
        elif isinstance(item, list):
            todo.extend(((*path, position), inner) for position, inner in enumerate(item))


def _check_depth(value: Any) -> None:
    """Level by level; no text is looked at, for there is nothing to find in them."""
    level = [value] if isinstance(value, (dict, list)) else []
    for _ in range(MAX_DEPTH):
        inner = [each.values() if isinstance(each, dict) else each for each in level]
        level = [item for items in inner for item in items if isinstance(item, (dict, list))]
        if not level:
            return
    raise _too_deep()


def _check_text(path: tuple[str | int, ...], text: str) -> None:
    if "\0" in text:
        detail = "holds the character U+0000: leave it out"
    elif not text.isascii() and any("\ud800" <= c <= "\udfff" for c in text):
        detail = "holds half of a surrogate pair: write the whole character"
    else:
        return
    raise _malformed(f"a text {detail}", in_body(path, detail))
