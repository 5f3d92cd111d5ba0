"""The examples in the docstrings of the serials package are true."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

from service.domain import serials

ROOT = Path(serials.__file__).parent
MODULES = sorted(
    ".".join((serials.__name__, *path.relative_to(ROOT).with_suffix("").parts))
    for path in ROOT.rglob("*.py")
    if ">>> " in path.read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_are_true(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert result.failed == 0


def test_there_are_examples() -> None:
    assert len(MODULES) >= 4
