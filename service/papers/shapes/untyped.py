"""A part of the document that another module types: taken as it is, except what YAML may have changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from service.papers.places import Path
from service.papers.plain import Bare
from service.papers.shapes.context import Context, wrong


@dataclass(frozen=True, slots=True)
class Untyped:
    """Dicts, lists, str, int and bool, at any depth that the reading of the text allows.

    The keys of a dict are put in order: which of them was written first means nothing here.
    """

    def read(self, value: object, path: Path, context: Context) -> Any:
        if isinstance(value, dict):
            return {key: self.read(value[key], (*path, key), context) for key in sorted(value)}
        if isinstance(value, list):
            return [self.read(inner, (*path, place), context) for place, inner in enumerate(value)]
        if isinstance(value, Bare | date):
            text = value.text if isinstance(value, Bare) else value.isoformat()
            return wrong(context, path, value, "text or a whole number", f'put it in quotes: "{text}"')
        return value
