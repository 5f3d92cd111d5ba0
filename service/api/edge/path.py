"""A path parameter: a serial, a number or an id as somebody read or typed it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from service.api.problems import Problem, in_parameter
from service.api.problems.problem import invalid

LONGEST = 64
PATTERN = r"^[^/\x00-\x1f\x7f]*[^/\x00-\x20\x7f][^/\x00-\x1f\x7f]*$"
"""As in `schemas.fields`, without the slash, which would end the path segment."""
_RIGHT = re.compile(PATTERN[:-1] + r"\Z")


@dataclass(frozen=True, slots=True, kw_only=True)
class PathText:
    """A path parameter, for the document."""

    name: str
    description: str
    example: str

    def documented(self) -> dict[str, Any]:
        """The parameter object of the document."""
        return {
            "in": "path",
            "name": self.name,
            "required": True,
            "description": self.description,
            "schema": {"type": "string", "minLength": 1, "maxLength": LONGEST, "pattern": PATTERN},
            "example": self.example,
        }


def path_text(name: str, value: str) -> str:
    """The value, without surrounding spaces. Raises `Problem` (invalid_request, 422)."""
    if len(value) > LONGEST:
        raise _invalid(name, f"is longer than {LONGEST} characters: shorten it")
    if not _RIGHT.match(value):
        raise _invalid(
            name, "must hold a visible character and no control character: write it as on the label"
        )
    return value.strip()


def _invalid(name: str, detail: str) -> Problem:
    return invalid([in_parameter(name, detail)])
