"""The codes that the domain's source can produce, read off its syntax trees."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

DOMAIN = Path(__file__).parents[2] / "service" / "domain"


@cache
def trees(folder: str) -> tuple[ast.Module, ...]:
    """The modules of a folder of the domain, or one module."""
    path = DOMAIN / folder
    files = [path] if path.suffix else sorted(path.rglob("*.py"))
    return tuple(ast.parse(file.read_text(encoding="utf-8")) for file in files)


def first_arguments(folder: str, makers: set[str], position: int = 0) -> set[str]:
    """Every code that is handed to one of these functions, at that position."""
    return {
        code
        for tree in trees(folder)
        for scope in ast.walk(tree)
        if isinstance(scope, ast.FunctionDef | ast.Module)
        for node in own_nodes(scope)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in makers
        for argument in node.args[position : position + 1]
        for code in texts(argument, scope, tree)
    }


def own_nodes(scope: ast.FunctionDef | ast.Module) -> Iterator[ast.AST]:
    """The nodes of a function; of a module, those outside of its functions."""
    todo: list[ast.AST] = list(scope.body)
    while todo:
        node = todo.pop()
        yield node
        if not isinstance(node, ast.FunctionDef | ast.ClassDef):
            todo.extend(ast.iter_child_nodes(node))


def texts(value: ast.expr, scope: ast.AST, tree: ast.Module) -> Iterator[str]:
    """The texts that an expression can be: written out, chosen, looked up, assigned before or returned."""
    match value:
        case ast.Constant(value=str(text)):
            yield text
        case ast.Dict(values=several):
            yield from every(several, scope, tree)
        case ast.IfExp(body=one, orelse=other):
            yield from every([one, other], scope, tree)
        case ast.Subscript(value=table):
            yield from texts(table, scope, tree)
        case ast.Call(func=ast.Attribute(attr="get", value=table), args=[_, *default]):
            yield from every([table, *default], scope, tree)
        case ast.Call(func=ast.Name(id=name)):
            yield from every(returned(name, tree), scope, tree)
        case ast.Name(id=name):
            yield from every(assigned(name, tree if name.isupper() else scope), scope, tree)


def every(values: Iterable[ast.expr], scope: ast.AST, tree: ast.Module) -> Iterator[str]:
    for value in values:
        yield from texts(value, scope, tree)


def assigned(name: str, scope: ast.AST) -> Iterator[ast.expr]:
    """What is assigned to a name."""
    for node in ast.walk(scope):
        if isinstance(node, ast.Assign) and any(
            isinstance(t, ast.Name) and t.id == name for t in node.targets
        ):
            yield node.value


def returned(name: str, tree: ast.Module) -> Iterator[ast.expr]:
    """What a function of the module returns."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name == name:
            yield from (each.value for each in ast.walk(node) if isinstance(each, ast.Return) and each.value)
