"""What holds is told line by line, and the first thing that does not is the end."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

PATIENCE = 60.0

TOLD: list[str] = []
"""All that was shown."""


def must(holds: object, what: str) -> None:
    """Tell what was shown, or end."""
    if not holds:
        sys.exit(f"FAILED: {what}")
    TOLD.append(what)
    print(f"ok: {what}", flush=True)


def until(holds: Callable[[], bool], what: str) -> None:
    """Tell it as soon as it holds, or end."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if holds():
            must(True, what)
            return
        time.sleep(0.1)
    must(False, what)
