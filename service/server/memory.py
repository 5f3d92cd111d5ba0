"""Memory that was freed is used again or given back, so that a worker does not grow with its age.

The system's allocator gives each thread a pool of its own. What one thread frees the others don't use, and
a pool hardly ever shrinks, so that a worker grew for hours by some 200 bytes a request, with nothing kept.
"""

from __future__ import annotations

import ctypes
import os

POOLS = (-8, 1, "MALLOC_ARENA_MAX")
"""One for all threads: Python runs one of them at a time anyway."""
GIVEN_BACK = (-1, 128 * 1024, "MALLOC_TRIM_THRESHOLD_")
"""So many free bytes at the end of the pool stay; what is more goes back to the system."""
OF_ITS_OWN = (-3, 128 * 1024, "MALLOC_MMAP_THRESHOLD_")
"""A piece as large as this is taken from the system by itself. Left alone, the allocator raises both of these
as large answers come by, and keeps holes of their size."""


def keep_together() -> None:
    """Say so to the allocator, by the numbers of mallopt(3); what the environment sets stays.

    To be called before there are threads. A system whose allocator has other ways is left as it is.
    """
    say = getattr(ctypes.CDLL(None), "mallopt", None)
    if say is not None:
        for parameter, value, name in (POOLS, GIVEN_BACK, OF_ITS_OWN):
            if name not in os.environ:
                say(parameter, value)
