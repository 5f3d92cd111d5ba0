"""Which media type the caller reads (RFC 9110 section 12.5.1)."""

from __future__ import annotations

import re
from functools import lru_cache

from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header

from service.api.problems import Problem, in_header

JSON = "application/json"
TEXT = "text/plain"
YAML = "application/yaml"
SVG = "image/svg+xml"

_UTF_8 = re.compile(r';\s*charset="?utf-8"?', re.IGNORECASE)


@lru_cache(maxsize=1_024)
def media_type(accept: str | None, offers: tuple[str, ...]) -> str:
    """The offer that the caller likes best; the first one where it does not care.

    A header without any media range in it says nothing and is treated as absent. Raises `Problem`
    (not_acceptable, 406).
    """
    # Everything is written in UTF-8, so a range that asks for that is met as if it did not.
    ranges = parse_accept_header(_UTF_8.sub("", accept or ""), MIMEAccept)
    if not any("/" in value for value, _ in ranges):
        return offers[0]
    best = max(offers, key=ranges.quality)
    if ranges.quality(best) > 0:
        return best
    listed = " or ".join(offers)
    raise Problem(
        "not_acceptable",
        f"this address is written as {listed}: accept one of them, or leave Accept out",
        [in_header("Accept", f"accept {listed}")],
    )
