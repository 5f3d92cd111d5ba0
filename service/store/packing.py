"""The remainder of a state as compact JSON, and the parts that boards and units share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson

from service.domain.facts.records import Hold

Row = dict[str, Any]
"""Column name to value."""

_NOTHING: Mapping[str, Any] = {}


def packed(values: Mapping[str, Any]) -> str | None:
    """The values that say something, as compact JSON."""
    told = {name: value for name, value in values.items() if value}
    return orjson.dumps(told, option=orjson.OPT_SORT_KEYS).decode() if told else None


def unpacked(rest: str | None) -> Mapping[str, Any]:
    """What `packed` was given, less what said nothing."""
    return orjson.loads(rest) if rest else _NOTHING


def holds_out(holds: tuple[Hold, ...]) -> list[list[Any]]:
    return [[hold.kind, hold.since] for hold in holds]


def holds_in(told: Mapping[str, Any]) -> tuple[Hold, ...]:
    holds = told.get("holds")
    return tuple(Hold(kind=kind, since=since) for kind, since in holds) if holds else ()
