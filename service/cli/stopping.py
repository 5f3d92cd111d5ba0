"""Ctrl-C while a command writes: the first one asks to stop at the next good moment, the second is obeyed."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def asked_to_stop() -> Iterator[Callable[[], bool]]:
    """Whether somebody pressed Ctrl-C. Once more raises KeyboardInterrupt where it is."""
    asked = False

    def ask(*_: object) -> None:
        nonlocal asked
        if asked:
            raise KeyboardInterrupt
        asked = True

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield lambda: asked
    finally:
        signal.signal(signal.SIGINT, before)
