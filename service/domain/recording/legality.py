"""Every law that an event must pass, by its kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.ledger.event import EventKind
from service.domain.ledger.fold import States
from service.domain.recording.bench import Bench, Law
from service.domain.recording.ending import ended_units, scrapped_boards
from service.domain.recording.refusal import Refusal, Told
from service.domain.recording.stepping import ANOTHER_MODEL, stepping
from service.domain.recording.trading import converting, lifting, returning, selling
from service.domain.recording.whereabouts import arriving, finding, fitting, listing, meeting

LAWS: Mapping[str, tuple[Law, ...]] = {
    EventKind.REGISTERED: (listing,),
    EventKind.RECEIVED: (arriving,),
    EventKind.READ_OUT: (meeting,),
    EventKind.FITTED: (fitting,),
    EventKind.REMOVED: (meeting,),
    EventKind.FOUND: (finding,),
    EventKind.STEP_STARTED: (meeting, stepping),
    EventKind.STEP_FINISHED: (meeting, stepping),
    EventKind.STEP_FAILED: (meeting,),
    EventKind.HOLD_LIFTED: (lifting,),
    EventKind.SOLD: (selling,),
    EventKind.RETURNED: (returning, arriving),
    EventKind.CONVERTED: (listing, converting),
}
"""The laws of each kind, beside those of what has ended; a kind that is not named has no others."""

OF_STEPS = (
    "does_not_name",
    "does_not_follow",
    "bound_to_other_model",
    "already_bound",
    "serial_in_service_elsewhere",
    "nothing_assigns_it",
    "naming_board_is_blank",
    ANOTHER_MODEL,
    "board_is_blank",
    "boards_disagree",
    "carries_no_software",
)
"""What the transition table holds against a step, beside an empty place."""

CODES = (
    "unit_has_ended",
    "board_is_scrapped",
    "fitted_elsewhere",
    "place_is_taken",
    "place_is_empty",
    "not_recorded_there",
    "serial_of_another_unit",
    "not_in_custody",
    "already_sold",
    "board_is_held",
    "not_sold",
    "no_such_hold",
    *OF_STEPS,
)
"""Everything that can be held against an event. May grow."""


def judge(compiled: CompiledCatalogue, states: States, told: Told) -> tuple[Refusal, ...]:
    """What is held against an event.

    `states` are those before it: of its subjects, of the boards that sit in its units, of the units in
    which its boards are recorded, and of those whose serials these hold.
    """
    bench = Bench(compiled=compiled, states=states, kind=told.kind, data=told.data)
    return tuple(ended_units(bench)) + tuple(scrapped_boards(bench)) or tuple(_held_against(bench))


def _held_against(bench: Bench) -> Iterator[Refusal]:
    """The first law that refuses ends it: what comes after would speak of a unit that is not as told."""
    for law in LAWS.get(bench.kind, ()):
        refusals = list(law(bench))
        if refusals:
            yield from refusals
            return
