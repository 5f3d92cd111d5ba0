"""Seeded software for a generated catalogue: boards of two generations, needs that drag each other along, and
releases from which there is no way back. Ranges are lists of versions (`tests.oracles.plain_software`)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

VERSIONS = ("1.0.0", "2.0.0", "3.0.0")
MOST_PLACES = 3
"""So many boards are joined at most: the oracles go through every set of releases of a group."""


def add_software(rng: Random, document: dict[str, Any]) -> None:
    """Give some roles of a document releases that need each other, and perhaps one that needs nothing."""
    roles = list(document["roles"])
    others = [role for role in roles if role != "brain"]
    joined = ["brain", *rng.sample(others, min(len(others), rng.choice([1, 1, 2])))]
    if "face" in others and "face" not in joined and rng.random() < 0.7:
        joined[1] = "face"
    joined = [role for role in roles if role in joined]
    while sum(len(document["roles"][role].get("places", [role])) for role in joined) > MOST_PLACES:
        joined.pop()
    listed: dict[str, Sequence[str]] = {role: VERSIONS[: rng.choice([2, 2, 3])] for role in joined}
    for role in joined:
        document["roles"][role]["releases"] = list(releases(rng, document, role, listed))
    alone = [role for role in roles if role not in joined]
    if alone and rng.random() < 0.3:
        document["roles"][rng.choice(alone)]["releases"] = ["1.0.0", "1.1.0"]


def releases(
    rng: Random, document: dict[str, Any], role: str, listed: dict[str, Sequence[str]]
) -> Iterator[Any]:
    parts = [part["number"] for part in document["parts"] if part["role"] == role]
    models = [model for model, told in document["models"].items() if role in told.get("roles", {})]
    for at, version in enumerate(listed[role]):
        told: dict[str, Any] = {"version": version}
        if len(parts) > 1 and rng.random() < 0.35:
            told["parts"] = sorted(rng.sample(parts, rng.randint(1, len(parts) - 1)))
        if len(models) > 1 and rng.random() < 0.1:
            told["models"] = sorted(rng.sample(models, len(models) - 1))
        needs = {
            other: near(rng, versions, at)
            for other, versions in listed.items()
            if other != role and rng.random() < 0.55
        }
        if needs:
            told["needs"] = needs
        if rng.random() < 0.5:
            told["loads_from"] = written(before(rng, listed[role], at))
        yield told if len(told) > 1 else version


def near(rng: Random, versions: Sequence[str], at: int) -> str:
    """One or two versions round about the same place in another list."""
    low = min(max(0, at - rng.choice([0, 0, 1])), len(versions) - 1)
    return written(versions[low : max(low, at + rng.choice([0, 0, 1])) + 1])


def before(rng: Random, versions: Sequence[str], at: int) -> list[str]:
    """The versions over which one is loaded: mostly those before it."""
    found = [version for other, version in enumerate(versions) if other < at or rng.random() < 0.25]
    return found or [versions[at]]


def written(versions: Sequence[str]) -> str:
    return " || ".join(f"={version}" for version in versions)
