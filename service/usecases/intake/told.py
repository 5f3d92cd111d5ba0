"""An event as a client tells it, and what it cannot mean."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

Path = tuple[str | int, ...]
"""Member names and positions from the top of what was sent."""

Block = dict[str, Any]
"""An event's data, or an object inside it, while it is being completed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One event. `data` has the fields of its kind, less what is filled in."""

    kind: str
    occurred_at: datetime | None
    """None: now."""
    data: Mapping[str, Any]
