"""What a serial says of itself, or which of its characters to read again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from service.domain.serials import Decoded, Unreadable


def decoded(found: Decoded | Unreadable) -> dict[str, Any]:
    """A reading of a serial."""
    return _readable(found) if isinstance(found, Decoded) else _unreadable(found)


def spans(made: Iterable[tuple[date, date]]) -> list[dict[str, str]]:
    """Closed intervals of days."""
    return [{"first": first.isoformat(), "last": last.isoformat()} for first, last in made]


def _readable(found: Decoded) -> dict[str, Any]:
    return {
        "readable": True,
        "scheme": found.scheme,
        "fields": {name: sorted(str(value) for value in values) for name, values in found.fields.items()},
        "models": sorted(found.models),
        "parts": sorted(found.parts),
        "made": spans(found.made),
    }


def _unreadable(found: Unreadable) -> dict[str, Any]:
    shown: dict[str, Any] = {"readable": False, "unreadable": found.cause.value}
    if found.scheme is not None:
        shown["scheme"] = found.scheme
        shown["read_again"] = {
            "field": found.field,
            "positions": list(found.positions),
            "found": found.found,
            "wanted": found.wanted,
            "suspects": list(found.suspects),
        }
    return shown
