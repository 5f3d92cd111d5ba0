"""How often the rough treatment is repeated, and what came of it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

Report = Callable[..., None]
"""Called with numbers by name; they are printed at the end of the test and kept in its report."""


def part_and_full(part: int, full: int) -> pytest.MarkDecorator:
    """Runs a test with `count`: a small part in the plain suite, all of it when deep counts are asked for."""
    deep = pytest.param(full, id=f"{full}", marks=pytest.mark.deep)
    return pytest.mark.parametrize("count", [pytest.param(part, id=f"{part}"), deep])
