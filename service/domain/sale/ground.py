"""A ground of a decision, or a condition that comes with one: a code and its facts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """`service.words` has its sentences, for the staff and for the customer."""

    code: str
    facts: Mapping[str, tuple[str, ...]]


def ground(code: str, **facts: Iterable[str]) -> Ground:
    """A ground with its facts, each a list of values."""
    return Ground(code=code, facts={name: tuple(map(str, values)) for name, values in facts.items()})
