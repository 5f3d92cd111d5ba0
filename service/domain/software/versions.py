"""Versions of software releases, as Semantic Versioning 2.0.0 (semver.org) writes and orders them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

LONGEST = 255
"""Characters of a version's text. The standard sets no limit and calls 255 characters overkill (semver.org,
frequently asked questions, from memory); a bound keeps a hostile text from costing anything."""

NUMBER = r"(?:0|[1-9][0-9]*)"
IDENTIFIER = rf"(?:{NUMBER}|[0-9]*[a-zA-Z-][0-9a-zA-Z-]*)"
PRE_RELEASE = rf"{IDENTIFIER}(?:\.{IDENTIFIER})*"

_VERSION = re.compile(
    rf"(?P<major>{NUMBER})\.(?P<minor>{NUMBER})\.(?P<patch>{NUMBER})"
    rf"(?:-(?P<pre>{PRE_RELEASE}))?"
    r"(?:\+(?P<build>[0-9a-zA-Z-]+(?:\.[0-9a-zA-Z-]+)*))?"
)


class Identifier(NamedTuple):
    """One part of a pre-release between dots. A number is older than any text (clause 11.4.3)."""

    is_text: bool
    number: int
    text: str

    def __str__(self) -> str:
        return self.text if self.is_text else str(self.number)


@dataclass(frozen=True, slots=True, order=True)
class Version:
    """One version. Two that differ in build metadata alone are equal: clause 10 gives it no precedence.

    INVARIANT: the fields stand in the order in which clause 11 compares them.
    """

    major: int
    minor: int
    patch: int
    finished: bool = True
    """False for a pre-release, which is older than the version it leads to."""
    pre_release: tuple[Identifier, ...] = ()
    build: str = field(default="", compare=False)

    @property
    def triple(self) -> tuple[int, int, int]:
        """The version without pre-release and build metadata."""
        return (self.major, self.minor, self.patch)

    def __str__(self) -> str:
        pre_release = "" if self.finished else "-" + ".".join(map(str, self.pre_release))
        build = f"+{self.build}" if self.build else ""
        return f"{self.major}.{self.minor}.{self.patch}{pre_release}{build}"


def parse_version(text: str) -> Version:
    """The version that a text writes.

    Raises ValueError where the text is none: "1.2", "v1.2.3" and "01.2.3" are not versions.
    """
    match = _VERSION.fullmatch(text) if len(text) <= LONGEST else None
    if match is None:
        raise ValueError(
            f"not a version of three numbers with dots (semantic versioning 2.0.0): {text[:40]!r}"
        )
    return Version(
        int(match["major"]),
        int(match["minor"]),
        int(match["patch"]),
        match["pre"] is None,
        identifiers(match["pre"]),
        match["build"] or "",
    )


def is_version(text: str) -> bool:
    """Whether a text is a version."""
    return len(text) <= LONGEST and _VERSION.fullmatch(text) is not None


def identifiers(pre_release: str | None) -> tuple[Identifier, ...]:
    """The parts of a pre-release's text, empty for a finished version."""
    return tuple(_identifier(part) for part in pre_release.split(".")) if pre_release else ()


def _identifier(text: str) -> Identifier:
    # Only ASCII digits came through the pattern; `isdigit` alone would take others.
    return Identifier(False, int(text), "") if text.isdigit() else Identifier(True, 0, text)
