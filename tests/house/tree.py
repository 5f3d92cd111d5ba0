"""What the house tests look at: the files of this repository."""

from __future__ import annotations

import ast
import tomllib
from fnmatch import fnmatch
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SERVICE = ROOT / "service"


@cache
def project() -> dict[str, Any]:
    """pyproject.toml, parsed."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def python_files(*folders: str) -> list[Path]:
    """The Python files under these folders of the repository, in a stable order."""
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))


def name(path: Path) -> str:
    """A path as the repository's reader knows it."""
    return path.relative_to(ROOT).as_posix()


def left_out(entry: str) -> bool:
    """Whether .gitignore keeps a top-level entry out of the repository."""
    lines = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    return any(fnmatch(entry, line.strip().strip("/")) for line in lines if line.strip())
