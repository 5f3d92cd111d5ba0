"""The code knows no maker: what a catalogue names stands in no module outside the demo."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from service.papers import read_catalogue
from tests.papers.documents import CATALOGUES

SERVICE = Path(__file__).parents[2] / "service"
APART = {"demo", "api"}
"""The demo is one maker's world, and the API's document takes its examples from it."""
SOURCES = [path for path in sorted(SERVICE.rglob("*.py")) if not APART & set(path.parts)]


def constants(tree: ast.Module) -> Iterator[str]:
    """Texts in the code, docstrings apart."""
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


def names(text: str) -> set[str]:
    """What a catalogue names that a program could have been written around."""
    catalogue = read_catalogue(text)
    ids: list[Iterable[str]] = [catalogue.models, catalogue.families, catalogue.parts, catalogue.roles]
    ids += [catalogue.capabilities, catalogue.features, catalogue.accessories]
    ids += [role.functions for role in catalogue.roles.values()]
    return {str(name) for section in ids for name in section} | {catalogue.maker, catalogue.dealer}


COMMON_WORDS = {"main", "position"}
"""Roles whose names a program has other uses for."""


@pytest.mark.parametrize("which", ["demo", "second maker", "trade practice"])
def test_no_text_in_the_code_is_a_name_of_the_catalogue(which: str) -> None:
    wanted = names(CATALOGUES[which]) - COMMON_WORDS
    assert len(wanted) >= 25
    assert len(SOURCES) >= 60
    found = {
        (str(path.relative_to(SERVICE)), text)
        for path in SOURCES
        for text in constants(ast.parse(path.read_text(encoding="utf-8")))
        if text in wanted
    }
    assert found == set()


def test_the_check_can_fail() -> None:
    tree = ast.parse('"""panel"""\nif role == "panel":\n    pass\n')
    assert list(constants(tree)) == ["panel"]
