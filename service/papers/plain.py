"""Scalars without quotes, read as YAML 1.2's core schema does: `no` is a word, and `010` is not eight."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Final

_WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,17})\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_NUMBER_LIKE = re.compile(r"[-+]?(\.?[0-9][0-9_.,]*([eE][-+]?[0-9]+)?|0[xo][0-9a-fA-F]+|\.(inf|nan))\Z")
_WORDS: Final[dict[str, object]] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Bare:
    """A scalar without quotes that looks like a number and is not a whole one: 129.00, 007, 1e3."""

    text: str


def plain(text: str) -> object:
    """A scalar written without quotes: a word, true, false, null, a whole number or a date."""
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.match(text):
        return int(text)
    if _DAY.match(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    # Two dots make a version, 1.4.0, and nothing that anybody reads as a number.
    return Bare(text) if _NUMBER_LIKE.match(text) and text.count(".") < 2 else text
