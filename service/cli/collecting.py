"""Less garbage collection while much is made that stays."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

ALLOCATIONS = 200_000
"""Between two collections. A chunk of lines makes as many values, hardly any of them in circles."""


@contextmanager
def rare_collections() -> Iterator[None]:
    """Python looks for circles after every 700 new values, and through all it holds after some of those:
    a fifth of an import's time, for nothing found. What is there now is not looked at again at all."""
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(ALLOCATIONS, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()
