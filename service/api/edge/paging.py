"""Keyset paging: a cursor names the last item shown, so a list that grows skips and repeats nothing.

Conventions: `page_size` (20, at most 100), an opaque `cursor`, `next_cursor` in the body and the
same page as `Link: <…>; rel="next"` (RFC 8288).
"""

from __future__ import annotations

import hashlib
import json
from base64 import urlsafe_b64decode, urlsafe_b64encode
from bisect import bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar
from urllib.parse import urlencode

from service.api.problems import Problem, in_parameter

DEFAULT_SIZE = 20
MAX_SIZE = 100

Item = TypeVar("Item")
Key = tuple[int | str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page(Generic[Item]):
    """One page of a list."""

    items: Sequence[Item]
    next_cursor: str | None


def page(
    items: Sequence[Item],
    key: Callable[[Item], Key],
    size: int,
    cursor: str | None,
    of: Mapping[str, str],
) -> Page[Item]:
    """The page after `cursor` of items sorted by `key`. `of`: the list's address and its filters, which
    the cursor is bound to.

    Raises `Problem` (bad_cursor, 400).
    """
    start = 0 if cursor is None else bisect_right(items, _after(cursor, of, items, key), key=key)
    shown = items[start : start + size]
    more = start + size < len(items)
    return Page(items=shown, next_cursor=sealed(key(shown[-1]), of) if more else None)


def next_link(path: str, query: Mapping[str, str], next_cursor: str | None) -> str | None:
    """The value of `Link` for the next page of the same list."""
    if next_cursor is None:
        return None
    return f'<{path}?{urlencode({**query, "cursor": next_cursor})}>; rel="next"'


def sealed(key: Key, of: Mapping[str, str]) -> str:
    """The cursor of an item, for the list of that address and those filters."""
    text = json.dumps([_mark(key, of), *key], separators=(",", ":"))
    return urlsafe_b64encode(text.encode()).decode().rstrip("=")


def opened(cursor: str, of: Mapping[str, str], like: Sequence[type]) -> Key:
    """The key in a cursor of that list; `like` are the types of its parts. Raises `bad_cursor`."""
    try:
        padded = cursor + "=" * (-len(cursor) % 4)
        mark, *parts = json.loads(urlsafe_b64decode(padded.encode("ascii")))
        genuine = mark == _mark(tuple(parts), of)
    except (ValueError, TypeError, RecursionError):
        parts, genuine = [], False
    # The mark can be made up, so what follows it is looked at too before anything is compared with it.
    if not genuine or [type(part) for part in parts] != list(like) or not all(map(_plain, parts)):
        raise bad_cursor()
    return tuple(parts)


def _plain(part: int | str) -> bool:
    return isinstance(part, int) or part.isprintable()


def bad_cursor() -> Problem:
    """A cursor that this list did not give."""
    mend = "take next_cursor unchanged from this list, with the same filters"
    return Problem("bad_cursor", f"cursor: {mend}", [in_parameter("cursor", mend)])


def _after(cursor: str, of: Mapping[str, str], items: Sequence[Item], key: Callable[[Item], Key]) -> Key:
    if not items:
        raise bad_cursor()
    return opened(cursor, of, [type(part) for part in key(items[0])])


def _mark(key: Key, of: Mapping[str, str]) -> str:
    """Tells a cursor of this list from a made-up one; it guards against mistakes, not against malice."""
    text = json.dumps([list(key), sorted(of.items())])
    return hashlib.sha256(text.encode()).hexdigest()[:12]
