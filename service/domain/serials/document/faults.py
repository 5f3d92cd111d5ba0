"""Collecting every fault of a document, each with its place and how to mend it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import partial
from typing import NamedTuple, TypeVar

Path = tuple[str | int, ...]
T = TypeVar("T")

SHOWN = 40
"""The most characters of a wrong value that a message repeats."""


class Fault(NamedTuple):
    """One thing that is wrong with a document."""

    path: Path
    """Keys and list positions (from 0) that lead to it, from the top of the scheme."""
    message: str
    mend: str


class Wrong(ValueError):
    """One value of a document is wrong: what is wrong, and how to mend it."""

    def __init__(self, message: str, mend: str) -> None:
        super().__init__(message)
        self.message = message
        self.mend = mend


class SchemeFaults(ValueError):
    """A document is not a serial scheme; `faults` holds all that is wrong with it."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("; ".join(f"{_where(fault.path)}: {fault.message}" for fault in faults[:20]))
        self.faults = faults


def _where(path: Path) -> str:
    return ".".join(map(str, path)) or "scheme"


class Place:
    """A place in a document, at which faults are noted and reading goes on."""

    def __init__(self, found: list[Fault], path: Path = ()) -> None:
        self._found = found
        self._path = path

    def under(self, step: str | int) -> Place:
        """The place one key or list position further in."""
        return Place(self._found, (*self._path, step))

    def attempt(self, read: Callable[[], T]) -> T | None:
        """What `read` gives; where it finds something wrong, that is noted here, and None."""
        try:
            return read()
        except Wrong as wrong:
            self._found.append(Fault(self._path, wrong.message, wrong.mend))
            return None

    def take(self, document: Mapping[object, object], key: str, read: Callable[[object], T]) -> T | None:
        """The value under a key that must be there; None after a fault."""
        if key not in document:
            return self.attempt(lambda: _missing(key))
        return self.under(key).attempt(lambda: read(document[key]))

    def take_or(
        self, document: Mapping[object, object], key: str, read: Callable[[object], T], default: T
    ) -> T | None:
        """The value under a key, `default` where it is left out; None after a fault."""
        return self.take(document, key, read) if key in document else default

    def no_others(self, document: Mapping[object, object], keys: Collection[str]) -> None:
        """Note every key that has no meaning here."""
        for key in document:
            if key not in keys:
                step = key if isinstance(key, str) else shown(key)
                self.under(step).attempt(partial(_unknown, key, keys))


def _missing(key: str) -> None:
    raise Wrong(f"there is no {key!r}", f"add the key {key!r}")


def _unknown(key: object, keys: Collection[str]) -> None:
    raise Wrong(f"{shown(key)} means nothing here", f"use one of {choice(keys)}, or leave it out")


def choice(words: Collection[str]) -> str:
    """Words to choose from, as a message lists them."""
    return ", ".join(sorted(words))


def shown(value: object) -> str:
    """A wrong value in a few characters: the way a document writes it, cut short where it is long."""
    if isinstance(value, str):
        return repr(value[:SHOWN]) + ("…" if len(value) > SHOWN else "")
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int):
        # Python refuses to write out numbers of thousands of digits.
        return str(value) if value.bit_length() <= 64 else f"{'-' if value < 0 else ''}2^{value.bit_length()}"
    if isinstance(value, Mapping):
        return "{…}"
    return "[…]" if isinstance(value, (list, tuple)) else "…"
