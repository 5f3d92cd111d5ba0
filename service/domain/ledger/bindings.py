"""The permanent side of the ledger: which event bound a board, epoch by epoch.

What is permanent is the board; our knowledge of it can be wrong. Epoch n+1 exists only beside a
correction that withdraws the event of epoch n.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.domain.ledger.event import Event, EventKind
from service.domain.ledger.fold import withdrawn
from service.domain.ledger.programming import BINDING
from service.domain.terms import ModelId, Serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Binding:
    """A board bound to a model by one event."""

    board: Serial
    epoch: int
    model: ModelId
    seq: int


def bindings_in(event: Event) -> Iterator[tuple[Serial, ModelId]]:
    """The boards that an event says are bound, and to what."""
    data = event.data
    if event.kind == EventKind.STEP_FINISHED and data["step"] in BINDING:
        yield Serial(data["board"]), ModelId(data["model"])
    for block in (data, *data.get("boards", ())):
        if block.get("binding") == "bound":
            yield Serial(block["board"]), ModelId(block["bound_model"])


def is_act(event: Event) -> bool:
    """Whether the event binds by being done; any other only tells of a binding."""
    return event.kind == EventKind.STEP_FINISHED


def first_binding(board: Serial, events: Sequence[Event], epoch: int) -> Binding | None:
    """The first event, of those not withdrawn, that binds a board; `events` speak of it, in order."""
    void = withdrawn(events)
    for event in events:
        if event.seq not in void:
            for serial, model in bindings_in(event):
                if serial == board:
                    return Binding(board=board, epoch=epoch, model=model, seq=event.seq)
    return None
