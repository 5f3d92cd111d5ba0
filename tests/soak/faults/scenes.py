"""A fault: how its shop is set up, how the trouble begins and ends, and what may be seen of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from pathlib import Path

from service.store.dialling import SILENCE_SECONDS
from service.store.engine import LOCK_TIMEOUT_MS
from service.store.postgresql import CONNECT_SECONDS
from tests.endurance.disks import Trouble
from tests.soak.running import Shop

SLACK = 5.0
"""Seconds that a busy machine may take on top of every bound."""
LOCK = LOCK_TIMEOUT_MS / 1000
SILENT = SILENCE_SECONDS + CONNECT_SECONDS
"""Seconds until it is told that a server says nothing: one statement, one connection."""

Probe = Callable[[], Sequence[str]]
"""Looks at something in the middle of the trouble, or after it; what is wrong with it."""


def nothing() -> Sequence[str]:
    return ()


class CannotHappen(Exception):
    """This machine does not let us bring that trouble about; the message says what is missing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A shop that is served, and the trouble that it is in for."""

    shop: Shop
    trouble: Trouble
    by: str
    """By which means the trouble is brought about here."""
    longest: float
    """Seconds that any answer may take while it lasts; a busy machine gets some on top."""
    recovery: float
    """Seconds after its end in which somebody may still be told that the store is away."""
    felt: bool = True
    """Whether somebody has to have been told so: else nothing was tried."""
    reads: float | None = None
    """Seconds that three of four who only ask may wait at most, where the trouble is none of theirs."""
    meanwhile: Probe = nothing
    afterwards: Probe = nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A trouble by its name."""

    name: str
    what: str
    scene: Callable[[Path], AbstractContextManager[Scene]] = field(repr=False)
    lasts: float
    """Seconds, where nobody says otherwise."""
