"""The domain has no clock, no randomness, no input or output, no library and no sentence.

Nor has what lays answers out: every sentence stands in `service.words`, where it is translated.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.tree import name, parsed, python_files

DOMAIN = python_files("service/domain")
USE_CASES = python_files("service/usecases")
LAYOUT = python_files("service/api/text", "service/api/present")

PURE = {
    "__future__",
    "bisect",
    "calendar",
    "collections",
    "contextlib",
    "dataclasses",
    "datetime",
    "decimal",
    "enum",
    "fractions",
    "functools",
    "graphlib",
    "hashlib",
    "heapq",
    "itertools",
    "math",
    "operator",
    "re",
    "string",
    "types",
    "typing",
    "unicodedata",
}
"""The modules of the standard library that a function of its arguments needs. `datetime` is among them for
its values; asking it for the time is looked for by name below."""

CLOCKS = {"now", "utcnow", "today"}
HOSTS = {"datetime", "date"}

SENTENCE = re.compile(r"[A-Za-z]{2,} [A-Za-z]{2,}")
"""Two words with a space between them are a phrase: a code or a key has none."""


def imported(tree: ast.Module) -> Iterator[str]:
    """The full name of every module that the code imports, wherever it stands."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


def foreign(tree: ast.Module) -> set[str]:
    """The imports that are neither the domain's own nor among the pure modules."""
    return {
        module
        for module in imported(tree)
        if not (module == "service.domain" or module.startswith("service.domain."))
        and module.split(".")[0] not in PURE
    }


def clocks(tree: ast.Module) -> set[str]:
    """The clock readings by name (`date.today`, `datetime.now`)."""
    return {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr in CLOCKS}


def hosts_clocks(tree: ast.Module) -> set[str]:
    """The clock readings that are of the host, by what they are called of."""
    named = (node for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr in CLOCKS)
    return {of.id for node in named if isinstance(of := node.value, ast.Name) and of.id in HOSTS}


def exempt(tree: ast.Module) -> set[int]:
    """The nodes under docstrings, `raise` and `assert`: they speak to a developer, not to a caller."""
    told = [
        node
        for node in ast.walk(tree)
        if isinstance(node, (ast.Raise, ast.Assert))
        or (isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant))
    ]
    return {id(inner) for node in told for inner in ast.walk(node)}


def sentences(tree: ast.Module) -> list[str]:
    """The texts in the code that a person could be meant to read."""
    skipped = exempt(tree)
    return [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and id(node) not in skipped
        and SENTENCE.search(node.value)
    ]


@pytest.mark.parametrize("path", DOMAIN, ids=name)
def test_a_module_of_the_domain_is_pure(path: Path) -> None:
    tree = parsed(path)
    assert not foreign(tree)
    assert not clocks(tree)


@pytest.mark.parametrize("path", DOMAIN, ids=name)
def test_a_module_of_the_domain_holds_no_sentence(path: Path) -> None:
    assert sentences(parsed(path)) == []


@pytest.mark.parametrize("path", LAYOUT, ids=name)
def test_what_lays_answers_out_holds_no_sentence(path: Path) -> None:
    assert sentences(parsed(path)) == []


@pytest.mark.parametrize("path", USE_CASES, ids=name)
def test_a_use_case_asks_the_shop_for_the_time(path: Path) -> None:
    """The hosts of one shop differ; its database has one clock."""
    assert not hosts_clocks(parsed(path))


def test_the_checks_can_fail() -> None:
    impure = ast.parse(
        "import os.path\nfrom random import choice\nfrom service.store import x\nd = date.today()"
    )
    assert foreign(impure) == {"os.path", "random", "service.store"}
    assert clocks(impure) == {"today"}
    assert hosts_clocks(impure) == {"date"}
    wordy = ast.parse(
        '"""A docstring is one."""\nraise ValueError("not this one")\nx = f"it fits {y}"\nz = "a_code"'
    )
    assert sentences(wordy) == ["it fits "]
