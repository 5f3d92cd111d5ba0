"""Whoever looks for something finds it: the maps of packages are whole and name what is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from service.domain.terms import Rule
from tests.house.tree import ROOT, SERVICE, parsed

QUOTED = re.compile(r"`([\w.]+)`")
DOMAIN = SERVICE / "domain"
HEADS = {path.parent: ast.get_docstring(parsed(path)) or "" for path in DOMAIN.rglob("__init__.py")}
MAPPED = sorted(folder for folder, text in HEADS.items() if "| module | what it answers |" in text)


def modules(folder: Path) -> set[str]:
    return {path.stem for path in folder.glob("*.py")} - {"__init__"}


def first_cells(text: str) -> list[str]:
    return [line.split("|")[1] for line in text.splitlines() if line.startswith("| ")][2:]


@pytest.mark.parametrize("folder", MAPPED, ids=lambda folder: folder.name)
def test_a_map_names_each_module_once(folder: Path) -> None:
    named = [name for cell in first_cells(HEADS[folder]) for name in QUOTED.findall(cell)]
    assert sorted(named) == sorted(modules(folder))


def test_the_table_of_rules_has_each_rule_with_functions_that_are_there() -> None:
    rows = [line.split("|") for line in HEADS[DOMAIN / "rules"].splitlines() if line.startswith("| ")][2:]
    assert [int(row[1].split()[0]) for row in rows] == sorted([*Rule, Rule.ASSIGNABLE])
    for row in rows:
        named = QUOTED.findall(row[2])
        assert named, row[1]
        assert all(map(_is_there, named)), row[1]


def _is_there(name: str) -> bool:
    """Whether the rules have that module, or a module of theirs that function, or the service that module."""
    if name in modules(DOMAIN / "rules"):
        return True
    module, _, function = name.rpartition(".")
    if name.startswith("domain."):
        path = SERVICE / name.replace(".", "/")
        return path.is_dir() or path.with_suffix(".py").is_file()
    tree = parsed(DOMAIN / "rules" / f"{module or '__init__'}.py")
    return any(isinstance(node, ast.FunctionDef) and node.name == function for node in tree.body)


def test_the_map_for_developers_has_each_package() -> None:
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("```\n")[2].partition("\n```")[0]
    packages = [
        f"{path.parent.name}/" for path in (*SERVICE.glob("*/__init__.py"), *DOMAIN.glob("*/__init__.py"))
    ]
    assert len(packages) > 20
    assert [name for name in packages if name not in told] == []
