"""What a serial says of itself, or which of its characters to read again."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from service.domain.catalogue.model import Catalogue
from service.domain.serials import Decoded, Scheme, Unreadable, format_serial


def decoded(found: Decoded | Unreadable, catalogue: Catalogue) -> dict[str, Any]:
    """A reading of a serial by the schemes of a catalogue."""
    return _readable(found, catalogue.schemes) if isinstance(found, Decoded) else _unreadable(found)


def spans(made: Iterable[tuple[date, date]]) -> list[dict[str, str]]:
    """Closed intervals of days."""
    return [{"first": first.isoformat(), "last": last.isoformat()} for first, last in made]


def _readable(found: Decoded, schemes: Iterable[Scheme]) -> dict[str, Any]:
    # A catalogue that was published a moment ago may not have the scheme any more.
    own = next((scheme for scheme in schemes if scheme.id == found.scheme), None)
    return {
        "readable": True,
        "scheme": found.scheme,
        **({"printed": format_serial(own, found.serial)} if own else {}),
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
