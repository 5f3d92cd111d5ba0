"""The schemes and check values that stand as data files beside these tests."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from service.domain.serials import Decoded, Scheme, Unreadable, decode, scheme_from_document

DATA = Path(__file__).parent / "data"
SCHEMES = sorted(path.stem for path in (DATA / "schemes").glob("*.yaml"))


@cache
def scheme(name: str) -> Scheme:
    """The scheme of a file in data/schemes."""
    return scheme_from_document(
        yaml.safe_load((DATA / "schemes" / f"{name}.yaml").read_text(encoding="utf-8"))
    )


def rows(name: str) -> list[Any]:
    """The rows of a file of check values; the file names its source."""
    found: list[Any] = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))["rows"]
    return found


def read(name: str, text: str) -> Decoded | Unreadable:
    """What the scheme of that name says of a text."""
    return decode((scheme(name),), scheme(name).subject, text)


def decoded(name: str, text: str) -> Decoded:
    """The same for a text that it reads."""
    reading = read(name, text)
    assert isinstance(reading, Decoded), reading
    return reading


def unreadable(name: str, text: str) -> Unreadable:
    """The same for a text that it does not read."""
    reading = read(name, text)
    assert isinstance(reading, Unreadable), reading
    return reading
