"""A server loads what it serves with: what migrates, makes the demo or talks to another database waits."""

from __future__ import annotations

import subprocess
import sys

from tests.house.tree import ROOT

LOADED_WHEN_NEEDED = {"alembic", "psycopg", "service.demo"}


def test_serving_loads_nothing_that_it_can_do_without() -> None:
    code = "import sys, service.cli.main, service.cli.serve; print(*sys.modules)"
    told = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = set(told.stdout.split())
    assert "service.wiring" in loaded
    assert loaded & LOADED_WHEN_NEEDED == set()
