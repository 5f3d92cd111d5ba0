"""The writing of single elements."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from service.pictures.palette import LIGHT, Ink


def amount(value: float) -> str:
    """A number, to a tenth of a unit, without zeros that say nothing."""
    return f"{value:.1f}".removesuffix(".0")


def points(of: Iterable[tuple[float, float]]) -> str:
    """The corners of an outline."""
    return " ".join(f"{amount(x)},{amount(y)}" for x, y in of)


def filled(ink: Ink) -> dict[str, str]:
    """Attributes that fill with a colour."""
    return {"class_f": ink, "fill": LIGHT[ink]}


def stroked(ink: Ink, width: float) -> dict[str, Any]:
    """Attributes that draw an outline in a colour."""
    return {"class_s": ink, "stroke": LIGHT[ink], "stroke_width": width}


def element(name: str, **attributes: Any) -> str:
    """An element without content. `class_f` and `class_s` name the colours that change in the dark."""
    classes = [
        f"bf-{kind[-1]}-{attributes.pop(kind)}" for kind in ("class_f", "class_s") if kind in attributes
    ]
    written = [f'class="{" ".join(classes)}"'] if classes else []
    for attribute, value in attributes.items():
        shown = amount(value) if isinstance(value, (int, float)) else value
        written.append(f'{attribute.replace("_", "-")}="{shown}"')
    return f"<{name} {' '.join(written)}/>"
