"""Which language the caller reads: the lookup of RFC 4647 section 3.4 over Accept-Language."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

_RANGE = r"(?:\*|[A-Za-z]{1,8}(?:-[A-Za-z0-9]{1,8})*)"
_QUALITY = r"(?:0(?:\.[0-9]{0,3})?|1(?:\.0{0,3})?)"
_MEMBER = re.compile(rf"[ \t]*({_RANGE})(?:[ \t]*;[ \t]*[qQ]=({_QUALITY}))?[ \t]*\Z")
_LONGEST = 1_000
"""No reader sends more; what is longer says nothing."""


@lru_cache(maxsize=1_024)
def lookup(accepted: str, offers: tuple[str, ...], default: str) -> str:
    """The offer that the caller likes best, and the default where none is accepted: never a refusal.

    Each range is cut from its end until an offer matches it, before the next range is tried. A range
    is never made longer, `*` names no language, and a range of quality 0 rules out the language that it
    names exactly. A header that is not well formed is treated as absent.
    """
    by_name = {offer.lower(): offer for offer in offers}
    wanted = _ranges(accepted)
    refused = {name for name, quality in wanted if quality == 0}
    for name, quality in sorted(wanted, key=lambda each: -each[1]):
        for shorter in _shortened(name) if quality and name != "*" else ():
            if shorter in by_name and shorter not in refused:
                return by_name[shorter]
    return default


def _ranges(accepted: str) -> Sequence[tuple[str, float]]:
    """The ranges in their order, in small letters, with their qualities; none of a header that is wrong."""
    found: list[tuple[str, float]] = []
    for member in accepted.split(",") if len(accepted) <= _LONGEST else ():
        read = _MEMBER.match(member)
        if read is not None:
            found.append((read[1].lower(), float(read[2] or 1)))
        elif member.strip(" \t"):
            return ()
    return found


def _shortened(name: str) -> Iterator[str]:
    """The range, then what is left as its last subtag is taken away, never ending in a single letter."""
    subtags = name.split("-")
    while subtags:
        yield "-".join(subtags)
        subtags.pop()
        while subtags and len(subtags[-1]) == 1:
            subtags.pop()
