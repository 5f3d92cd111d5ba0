"""Gives generated events a meaning: about boards and units that nobody knows yet, or that the demo has.

What goes together in an event depends on its kind in ways that no schema tells, so an event is told anew,
with those of its generated values that mean something by themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any
from zlib import crc32

Node = dict[str, Any]

BY_THEMSELVES = frozenset(
    {"passed", "to", "certain", "hold", "kept", "in_custody", "amount", "evidence", "reason", "confirmed_by"}
)
"""Fields whose every value means something."""

TELL: Mapping[str, Callable[[str, str], Node]] = {
    "registered": lambda _, unit: {"unit": unit, "model": "plover-40"},
    "received": lambda board, _: {"board": board, "part": "MN-4100"},
    "read_out": lambda board, _: {"board": board, "binding": "used"},
    "fitted": lambda board, unit: {"board": board, "unit": unit, "role": "lift"},
    "removed": lambda _, unit: {"unit": unit, "role": "lift"},
    "found": lambda board, _: {"board": board},
    "step_started": lambda board, _: {"step": "calibrate", "board": board},
    "step_finished": lambda board, _: {"step": "load", "board": board},
    "step_failed": lambda _, unit: {"step": "self_test", "unit": unit},
    "accessory_fitted": lambda _, unit: {"unit": unit, "accessory": "battery_pack"},
    "tested": lambda board, _: {"board": board},
    "exposed": lambda board, _: {"board": board},
    "hold_placed": lambda board, _: {"board": board},
    "hold_lifted": lambda board, _: {"board": board, "placed": 1},
    "sale_checked": lambda board, _: {"board": board, "check": "c-1"},
    "sold": lambda board, _: {"board": board},
    "returned": lambda board, _: {"board": board},
    "scrapped": lambda board, _: {"board": board},
    "dismantled": lambda _, unit: {"unit": unit},
    "converted": lambda board, unit: {"unit": unit, "into": board, "model": "plover-60"},
    "corrected": lambda _, __: {"withdraws": 1},
}
"""An event of each kind, about a board and a unit."""


def sensible_event(event: Node) -> Node:
    """A generated event with a meaning. The ledger may still say otherwise: that is a 409."""
    number = crc32(repr(event).encode())
    data = TELL[event["kind"]](f"ZZ{number:010d}", f"ZY{number:010d}")
    kept = {name: value for name, value in event["data"].items() if name in BY_THEMSELVES}
    return {"kind": event["kind"], "data": {**data, **kept}}
