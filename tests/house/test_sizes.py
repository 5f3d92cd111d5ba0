"""Nobody has to read a long module or a long function here.

The medians of well-kept code bases of this kind are 4 to 13 lines a function; what nobody would repeat is
their tail. So the tail has a limit, and the middle has one of its own.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from tests.house.tree import name, parsed, python_files

MODULE_LIMIT = 400
FUNCTION_LIMIT = 60
USUAL_MODULE = 150
USUAL_FUNCTION = 12

SERVICE = python_files("service", "migrations")


def lines(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def functions(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Each function of a module by line and name, with its lines from `def` to its end."""
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            yield f"{node.lineno} {node.name}", (node.end_lineno or node.lineno) - node.lineno + 1


def sized(paths: list[Path]) -> list[tuple[str, int]]:
    return [(f"{name(path)}:{place}", size) for path in paths for place, size in functions(parsed(path))]


def test_no_module_is_longer_than_its_limit() -> None:
    assert {name(path): lines(path) for path in SERVICE if lines(path) > MODULE_LIMIT} == {}


def test_no_function_is_longer_than_its_limit() -> None:
    assert {place: size for place, size in sized(SERVICE) if size > FUNCTION_LIMIT} == {}


def test_the_usual_module_and_function_are_short() -> None:
    assert median(lines(path) for path in SERVICE) <= USUAL_MODULE
    assert median(size for _, size in sized(SERVICE)) <= USUAL_FUNCTION


def test_functions_are_measured_from_def_to_end() -> None:
    source = "@cache\ndef outer(a):\n    def inner():\n        return a\n\n    return inner\n"
    assert dict(functions(ast.parse(source))) == {"2 outer": 5, "3 inner": 2}
