"""What has ended takes no further work: a unit that was taken apart, a board that was scrapped."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.ledger.event import EventKind, SubjectKind
from service.domain.ledger.kinds import named_subjects
from service.domain.recording.bench import Bench, sits, spot_in
from service.domain.recording.refusal import Instead, Refusal
from service.domain.recording.whereabouts import turned_up

STILL = frozenset({EventKind.HOLD_PLACED, EventKind.HOLD_LIFTED, EventKind.SALE_CHECKED, EventKind.CORRECTED})
"""What may be told of anything, whatever became of it."""


def ended_units(bench: Bench) -> Iterator[Refusal]:
    """A unit that was scrapped, dismantled or converted; a place in it may still be closed by `found`."""
    if bench.kind in STILL:
        return
    closed = bench.data["was"]["unit"] if "was" in bench.data else None
    for kind, serial in named_subjects(bench.kind, bench.data):
        state = bench.states.units.get(serial) if kind is SubjectKind.UNIT else None
        if state is None or not state.ended or (serial == closed != bench.data.get("unit")):
            continue
        instead = _out_of_ended(bench) or withdrawing(state.ended)
        facts = {"unit": serial, "event": str(state.ended)}
        yield Refusal(code="unit_has_ended", facts=facts, instead=(instead,))


def scrapped_boards(bench: Bench) -> Iterator[Refusal]:
    """A board that was scrapped comes back by a correction only; it can be taken out of where it sits."""
    if bench.kind in STILL:
        return
    for kind, serial in named_subjects(bench.kind, bench.data):
        state = bench.states.boards.get(serial) if kind is SubjectKind.BOARD else None
        if state is None or not state.scrapped or _taken_out(bench, serial):
            continue
        facts = {"board": serial, "event": str(state.scrapped)}
        yield Refusal(code="board_is_scrapped", facts=facts, instead=(withdrawing(state.scrapped),))


def withdrawing(seq: int) -> Instead:
    """The correction of an event; its reason is for a person to give."""
    return Instead(kind=EventKind.CORRECTED, data={"withdraws": seq})


def _taken_out(bench: Bench, board: str) -> bool:
    return bench.kind == EventKind.REMOVED and sits(bench.states, board) == spot_in(bench.data)


def _out_of_ended(bench: Bench) -> Instead | None:
    """A board that is taken out of an ended unit after all has turned up."""
    board = bench.data.get("board")
    if bench.kind != EventKind.REMOVED or board is None or sits(bench.states, board) != spot_in(bench.data):
        return None
    return turned_up(board, spot_in(bench.data))
