"""The extra `test` stays small: what it adds to a bare machine is at most 150 MB installed."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.metadata import distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.house.tree import project

LIMIT = 150 * 1024 * 1024
BLOCK = 4096
"""A file takes whole blocks of a disk, as `du` counts them."""


def closure(wanted: Iterable[str]) -> set[str]:
    """The names of these requirements and of everything that they bring, here and on this Python."""
    seen: set[tuple[str, str]] = set()
    todo = [(Requirement(line), "") for line in wanted]
    while todo:
        requirement, extra = todo.pop()
        if requirement.marker and not requirement.marker.evaluate({"extra": extra}):
            continue
        name = canonicalize_name(requirement.name)
        fresh = {(name, each) for each in ("", *requirement.extras)} - seen
        todo += [(Requirement(line), each) for _, each in fresh for line in distribution(name).requires or ()]
        seen |= fresh
    return {name for name, _ in seen}


def size(name: str) -> int:
    """The bytes of an installed package on disk, its compiled modules included."""
    located = [Path(file.locate()) for file in distribution(name).files or ()]
    sizes = [path.stat().st_size for path in located if path.exists()]
    return sum(-(-each // BLOCK) * BLOCK for each in sizes)


def test_what_the_extra_adds_is_small() -> None:
    table = project()["project"]
    own = closure(table["dependencies"])
    added = {name: size(name) for name in closure(table["optional-dependencies"]["test"]) - own}
    assert sum(added.values()) <= LIMIT, sorted(added.items(), key=lambda pair: -pair[1])[:10]
    assert added["pytest"] > BLOCK


def test_a_closure_follows_extras_and_markers() -> None:
    assert {"psycopg", "psycopg-binary"} <= closure(["psycopg[binary]"])
    assert "psycopg-binary" not in closure(["psycopg"])
    assert closure(["packaging; python_version < '3'"]) == set()
