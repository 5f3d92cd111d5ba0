"""A line of a file of boards: a board in our hands, or one that we know of, and the state it is in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.domain.serials import compact
from service.files.rows import Flaw
from service.usecases.importing import cells
from service.usecases.importing.cells import one_of
from service.usecases.importing.columns import Column, Columns
from service.usecases.importing.entry import Entry
from service.usecases.intake.told import Path, Told

BINDINGS = ("blank", "used", "bound")
CONDITIONS = ("usable", "exposed", "maybe_exposed", "failed", "scrapped")
EXPOSED = ("exposed", "maybe_exposed")
HARM = ("water", "lightning", "fire")

BOARD_COLUMNS = Columns(
    (
        Column("serial", "the serial on the board's label, grouped as you like", required=True),
        Column("part", "its part number; it may stay empty where the label names one part"),
        Column("binding", "blank, bound, or used: not blank, the model unknown", one_of(BINDINGS)),
        Column("bound_model", "the id of the model that it is bound to", cells.identifier),
        Column("holds", "the serial of the unit that it holds, or none", cells.holder),
        Column("release", "the name of the software release on it"),
        Column("condition", ", ".join(CONDITIONS) + "; empty is usable", one_of(CONDITIONS)),
        Column("exposed_to", "what it is or may be exposed to: water, lightning or fire", one_of(HARM)),
        Column("tested", "yes where it passed a test since; empty is no", cells.flag),
        Column("in_custody", "no where it is in other hands; empty is yes", cells.flag),
        Column("received_on", "the day on which it came, such as 2025-03-31; empty is today", cells.day),
    )
)

_DESCRIBED = ("part", "binding", "bound_model", "holds", "release")
_COLUMNS: dict[Path, str] = {
    ("occurred_at",): "received_on",
    ("data", "board"): "serial",
    **{("data", name): name for name in _DESCRIBED},
}


def board_entry(line: int, values: Mapping[str, Any]) -> Entry:
    """The events of a board's line: how it came to be known, then what its state makes of it."""
    told = {"condition": "usable", "tested": False, "in_custody": True, **values}
    if "bound_model" in told:
        told.setdefault("binding", "bound")
    received_on = told.get("received_on")
    moment = cells.start_of(received_on) if received_on else None
    described = {name: told[name] for name in _DESCRIBED if name in told}
    first = "received" if told["in_custody"] else "registered"
    events = [(first, described), *_state(told)]
    content = {
        **told,
        "serial": compact(told["serial"]),
        "received_on": received_on and received_on.isoformat(),
    }
    return Entry(
        line=line,
        content=content,
        told=tuple(
            Told(kind=kind, occurred_at=moment, data={"board": told["serial"], **data})
            for kind, data in events
        ),
        columns=_COLUMNS,
        flaws=tuple(Flaw(line, column, reason) for column, reason in _contradictions(told)),
    )


def _contradictions(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """What the cells of a line cannot say together."""
    if told.get("binding") == "bound" and "bound_model" not in told:
        yield (
            "bound_model",
            "is empty: name the model that the board is bound to, or write used for its binding",
        )
    if told.get("binding") != "bound" and "bound_model" in told:
        yield "bound_model", f"cannot be told of a board that is {told['binding']}: write bound, or clear it"
    if told.get("binding") == "blank" and told.get("holds"):
        yield "holds", "a blank board holds no serial: clear one of the two"
    yield from _state_contradictions(told)


def _state_contradictions(told: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    condition = told["condition"]
    if condition in EXPOSED and "exposed_to" not in told:
        yield "exposed_to", "is empty: write water, lightning or fire"
    if condition not in EXPOSED and "exposed_to" in told:
        yield (
            "exposed_to",
            f"is told of a board that is {condition}: write exposed or maybe_exposed, or clear it",
        )
    if told["tested"] and condition in {*EXPOSED, "failed"}:
        yield (
            "tested",
            f"a board that is {condition} has passed no test since: write no, or another condition",
        )


def _state(told: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    condition = told["condition"]
    if told["tested"] or condition == "failed":
        yield "tested", {"passed": told["tested"]}
    if condition in EXPOSED:
        doubt = {"certain": False} if condition == "maybe_exposed" else {}
        yield "exposed", {"to": told.get("exposed_to", HARM[0]), **doubt}
    if condition == "scrapped":
        yield "scrapped", {}
