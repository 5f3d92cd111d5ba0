"""One event in words: what happened, and what it leaves known, in a few plain sentences."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from service.words.called import board_called, unit_called
from service.words.event_texts import (
    CAUSES,
    CONFIRMED_BY,
    DETAILS,
    EVENTS,
    HOLDS,
    STEPS,
    VARIANTS,
)
from service.words.name_texts import ANOTHER_MODEL
from service.words.names import Names

Data = Mapping[str, Any]


def event_text(kind: str, data: Data, names: Names) -> str:
    """The sentences of an event. `data` is as recorded."""
    facts = _facts(data, names)
    if "step" in data:
        facts["step"] = names.language.say(STEPS[data["step"]], **facts)
    variant = _variant(kind, data)
    first = VARIANTS[variant] if variant else EVENTS[kind]
    return " ".join(
        names.language.say(text, **facts)
        for text in (first, *(DETAILS[each] for each in _details(kind, data)))
    )


def _facts(data: Data, names: Names) -> dict[str, str]:
    """All that a sentence may name; what the event does not tell is empty and in no sentence of it."""
    facts = {name: str(data.get(name, "")) for name in PLAIN}
    facts |= {name: tell(data, names) for name, tell in NAMED.items()}
    facts["subject"] = facts["board"] if "board" in data else facts["unit"]
    return facts


def _word(words: Mapping[str, str], code: str | None, names: Names) -> str:
    return names.language.say(words[code]) if code else ""


PLAIN = ("amount", "placed", "evidence", "check", "label", "withdraws", "reason", "holds", "release")
"""Fields that are told as they are."""

NAMED: Mapping[str, Callable[[Data, Names], str]] = {
    "board": lambda data, names: board_called(names, data),
    "unit": lambda data, names: unit_called(names, data.get("unit", ""), _own_model(data)),
    "into": lambda data, names: unit_called(names, data.get("into", ""), data.get("model")),
    "was": lambda data, names: unit_called(names, data.get("was", {}).get("unit", "")),
    "for_unit": lambda data, names: unit_called(names, data.get("unit", "")),
    "recorded": lambda data, names: board_called(names, {**data, "board": data.get("recorded", "")}),
    "naming": lambda data, names: board_called(names, data.get("naming", {})),
    "boards": lambda data, names: names.language.both(
        board_called(names, each) for each in data.get("boards", ())
    ),
    "a_model": lambda data, names: names.a_model(_bound_to(data), many=ANOTHER_MODEL),
    "accessory": lambda data, names: names.accessory(data.get("accessory", "")),
    "hold": lambda data, names: _word(HOLDS, data.get("hold"), names),
    "cause": lambda data, names: _word(CAUSES, data.get("to"), names),
    "who": lambda data, names: _word(CONFIRMED_BY, data.get("confirmed_by"), names),
}


def _own_model(data: Data) -> str | None:
    """The model that an event tells of its unit; a conversion tells that of the unit it becomes."""
    return None if "into" in data else data.get("model")


def _bound_to(data: Data) -> tuple[str, ...]:
    model = data.get("bound_model", data.get("model"))
    return (model,) if model else ()


_SAID_OTHERWISE: Mapping[str, tuple[str, Callable[[Data], bool]]] = {
    "read_out": ("read_out_in_unit", lambda data: "unit" in data),
    "removed": ("removed_unread", lambda data: "board" not in data),
    "found": ("found_in_unit", lambda data: "unit" in data),
    "tested": ("tested_failed", lambda data: not data["passed"]),
    "exposed": ("exposed_perhaps", lambda data: not data.get("certain", True)),
    "sale_checked": ("sale_checked_unrecorded", lambda data: "label" in data),
}
"""By kind, which other first sentence it may have, and when."""


def _variant(kind: str, data: Data) -> str | None:
    variant, applies = _SAID_OTHERWISE.get(kind, (None, None))
    return variant if applies is not None and applies(data) else None


def _details(kind: str, data: Data) -> Iterator[str]:
    """Which further sentences an event has, in their order."""
    if kind == "corrected" and "board" in data:
        yield "in_truth"
    if "step" in data:
        yield from _of_step(kind, data)
    yield from _of_board(data)
    yield from _of_place(data)
    if data.get("boards"):
        yield "stayed" if "into" in data else "with_boards"
    if kind == "sold":
        yield from (
            detail for name, detail in (("unit", "for_unit"), ("check", "by_check")) if data.get(name)
        )


def _of_step(kind: str, data: Data) -> Iterator[str]:
    if kind == "step_finished" and data["step"] in ("enter_serial", "assign"):
        yield "bound"
    if kind == "step_failed" and "board" in data:
        yield "broke_off"


def _of_board(data: Data) -> Iterator[str]:
    """What an event tells of the board itself."""
    if "binding" in data:
        yield data["binding"]
    if "holds" in data:
        yield "holds" if data["holds"] else "holds_none"
    if isinstance(data.get("release"), str):
        yield "release"
    if "introduced" in data:
        yield "introduced" if data["introduced"] else "not_introduced"


def _of_place(data: Data) -> Iterator[str]:
    if "was" in data:
        yield "was"
    if "in_custody" in data:
        yield "in_custody" if data["in_custody"] else "not_in_custody"
    if "recorded" in data:
        yield "recorded"
    if not data.get("kept", True):
        yield "not_kept"
