"""May an event be withdrawn? Not where a later one would be left without what made it right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from typing import Any, NamedTuple

from service.domain.facts.records import BLANK, BindingRecord
from service.domain.ledger.event import Event, EventKind, Subject
from service.domain.ledger.fold import States, step, withdrawn
from service.domain.recording.refusal import Judge, Refusal
from service.domain.terms import Serial


class Undone(NamedTuple):
    """A later event that would not be legal any more."""

    event: Event
    refusals: tuple[Refusal, ...]


def undone_by(
    correction: Event, told: Iterable[Event], around: AbstractSet[Subject], judge: Judge
) -> Undone | None:
    """The first event that was legal and would not be, were the correction recorded after `told`.

    `told` holds, in order, all events of what is judged; `around` is what a change can matter to: the
    subjects of the correction, and the units that they were in.
    """
    told = list(told)
    void, withdraws = withdrawn(told), correction.data["withdraws"]
    as_told, as_corrected = States(), States()
    for event in told:
        gone = event.seq in void
        matters = event.seq > withdraws and event.kind != EventKind.CORRECTED and not gone
        if matters and not around.isdisjoint(event.subjects):
            refusals = judge(as_corrected, event)
            if refusals and not judge(as_told, event):
                return Undone(event, refusals)
        step(as_told, event, withdrawn=gone)
        step(as_corrected, event, withdrawn=gone or event.seq == withdraws)
        if event.seq >= withdraws:
            _know(as_corrected, correction)
    return None


def _know(states: States, correction: Event) -> None:
    """What is read now tells of then: a board bound to a model now was blank or bound to it at any time
    before, and one that is blank now was always so."""
    state = states.boards.get(Serial(correction.data.get("board", "")))
    values = _ever(correction.data)
    if state is None or not values or state.record.binding.contradiction:
        return
    left = _within(state.record.binding, values)
    if left:
        record = state.record._replace(binding=BindingRecord(values=left))
        states.boards[state.record.serial] = state._replace(record=record)


def _within(known: BindingRecord, values: frozenset[str]) -> frozenset[str]:
    """Those of the values that are possible by what is known."""
    if known.values is None:
        return values
    others = values - {BLANK} if known.any_model else frozenset[str]()
    return others | (known.values & values)


def _ever(reading: Mapping[str, Any]) -> frozenset[str]:
    """What a board can have been at any time before it is read so; nothing where that tells nothing."""
    match reading.get("binding"):
        case "bound":
            return frozenset({BLANK, reading["bound_model"]})
        case "blank":
            return frozenset({BLANK})
        case _:
            return frozenset()
