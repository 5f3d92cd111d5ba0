"""Boards and units as they stand now, for somebody whose event was refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from service.api.present.answer import place
from service.api.present.wording import Wording
from service.domain.facts.records import BLANK, BoardRecord, Records, UnitRecord
from service.domain.place import Place
from service.domain.recording.refusal import Instead, Refusal
from service.words.standing import board_text, refusal_text, unit_text


def now(of: Records, wording: Wording) -> dict[str, Any]:
    """What is true now of the boards and units of a call."""
    return {
        "boards": [_board(board, wording) for board in of.boards.values()],
        "units": [_unit(unit, wording) for unit in of.units.values()],
    }


def refusals(of: Iterable[Refusal], wording: Wording) -> list[dict[str, Any]]:
    """What stands against an event."""
    return [
        {
            "code": each.code,
            "facts": dict(each.facts),
            "text": refusal_text(each.code, each.facts, wording.names),
        }
        for each in of
    ]


def instead(of: Iterable[Refusal]) -> list[dict[str, Any]]:
    """The events that would be right, as they are sent; each once."""
    found: list[dict[str, Any]] = []
    for event in (event for refusal in of for event in refusal.instead):
        sent = {"kind": event.kind.value, "data": sendable(event)}
        if sent not in found:
            found.append(sent)
    return found


def sendable(event: Instead) -> Mapping[str, Any]:
    """The data of an event as a client sends it: without what the service fills in by itself."""
    return {name: _sendable(value) for name, value in event.data.items() if _is_sent(name, value)}


def _sendable(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {name: _sendable(inner) for name, inner in value.items() if _is_sent(name, inner)}
    return [_sendable(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def _is_sent(name: str, value: Any) -> bool:
    return name != "policy" and value is not None


def _board(of: BoardRecord, wording: Wording) -> dict[str, Any]:
    shown: dict[str, Any] = {"board": of.serial, "version": of.version}
    if of.binding.values is not None:
        if not of.binding.any_model:
            shown["bound_models"] = sorted(of.binding.values - {BLANK})
        shown["may_be_blank"] = BLANK in of.binding.values
    shown["contradiction"] = of.binding.contradiction
    if of.in_unit is not None and of.role is not None:
        shown["fitted_in"] = {"unit": of.in_unit, **place(Place(of.role, of.place))}
    return {**shown, "text": board_text(of, wording.names)}


def _unit(of: UnitRecord, wording: Wording) -> dict[str, Any]:
    return {
        "unit": of.serial,
        "version": of.version,
        **({"model": of.model} if of.model else {}),
        "in_service": of.in_service,
        "boards": [{**place(Place(*where)), "board": board.serial} for where, board in of.boards.items()],
        "text": unit_text(of, wording.names),
    }
