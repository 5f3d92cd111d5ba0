"""How far a long command has come: a bar on a terminal, and elsewhere a plain line now and then."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Protocol

import click

EVERY_SECONDS = 5.0
"""Between two plain lines."""

_CLEARED = "\r\x1b[2K"
"""Takes a bar off its line, so that something can be said there."""


class Progress(Protocol):
    """Told of by whoever does the work."""

    def at(self, done: int, told: str) -> None:
        """So much of the length is done; `told` says it in words."""

    def say(self, line: str) -> None:
        """Something else to say, on a line of its own."""


@contextmanager
def shown(label: str, length: int | None, *, quiet: bool) -> Iterator[Progress]:
    """Progress on standard error; without a known length there is no bar to fill."""
    if length and not quiet and sys.stderr.isatty():
        with click.progressbar(length=length, label=label, file=sys.stderr, item_show_func=str) as bar:
            yield _Bar(bar.update)
    else:
        yield _Plain(label, quiet=quiet)


class _Bar:
    def __init__(self, update: Callable[[int, str], None]) -> None:
        self._update = update
        self._done = 0

    def at(self, done: int, told: str) -> None:
        self._update(done - self._done, told)
        self._done = done

    def say(self, line: str) -> None:
        print(f"{_CLEARED}{line}", file=sys.stderr)


class _Plain:
    def __init__(self, label: str, *, quiet: bool) -> None:
        self._label = label
        self._quiet = quiet
        self._next = time.monotonic() + EVERY_SECONDS

    def at(self, done: int, told: str) -> None:  # noqa: ARG002 - words are all that is shown
        if not self._quiet and time.monotonic() >= self._next:
            self._next = time.monotonic() + EVERY_SECONDS
            self.say(f"{self._label}: {told}")

    def say(self, line: str) -> None:
        print(line, file=sys.stderr)
