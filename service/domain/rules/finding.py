"""What a rule found in one world: a code and its facts. Never a sentence."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from service.domain.place import Place
from service.domain.terms import Rule


class Finding(NamedTuple):
    """One reason of one rule in one world."""

    code: str
    rule: Rule
    place: Place
    fact: str
    """The attribute of the place that it rests on ("binding"), for its basis; empty for the unit's own."""
    facts: tuple[tuple[str, str], ...] = ()
    """Further facts by name, in a fixed order."""


@lru_cache(maxsize=8_192)
def finding(code: str, rule: Rule, place: Place, fact: str, *facts: tuple[str, str]) -> Finding:
    """The shared finding of these facts: equal findings are the same object, so that they are made,
    and later put into words, once. The cache is far larger than the findings of a real catalogue."""
    return Finding(code, rule, place, fact, facts)
