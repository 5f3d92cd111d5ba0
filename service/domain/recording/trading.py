"""Sales, returns and holds: what is ours to sell, and what is held against it."""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.facts.records import BoardRecord, Hold
from service.domain.ledger.event import EventKind
from service.domain.recording.bench import Bench, sits
from service.domain.recording.refusal import Instead, Refusal
from service.domain.recording.whereabouts import taken_out


def selling(bench: Bench) -> Iterator[Refusal]:
    """A board is sold out of our hands, once, and with nothing held against it."""
    serial, record = bench.data["board"], bench.board(bench.data["board"])
    if record is not None and record.sold:
        again = Instead(kind=EventKind.RETURNED, data={"board": serial})
        yield Refusal(code="already_sold", facts={"board": serial}, instead=(again,))
    else:
        yield from _ours(bench, serial, record)
    for hold in record.holds if record else ():
        facts = {"board": serial, "hold": hold.kind, "event": str(hold.since)}
        lifted = Instead(kind=EventKind.HOLD_LIFTED, data={"board": serial, "placed": hold.since})
        yield Refusal(code="board_is_held", facts=facts, instead=(lifted,))


def returning(bench: Bench) -> Iterator[Refusal]:
    """What comes back was sold; a board of unknown history is received."""
    serial, record = bench.data["board"], bench.board(bench.data["board"])
    if record is None or not record.sold:
        received = Instead(kind=EventKind.RECEIVED, data=dict(bench.data))
        yield Refusal(code="not_sold", facts={"board": serial}, instead=(received,))


def lifting(bench: Bench) -> Iterator[Refusal]:
    """A hold is lifted by the number of the event that placed it, and stands until then."""
    of = "board" if "board" in bench.data else "unit"
    serial, placed = bench.data[of], bench.data["placed"]
    holds = _holds(bench, of, serial)
    if placed not in {hold.since for hold in holds}:
        # Where more than one stands, which of them was meant is not for us to guess.
        meant = [{**bench.data, "placed": hold.since} for hold in holds] if len(holds) == 1 else []
        instead = tuple(Instead(kind=EventKind.HOLD_LIFTED, data=data) for data in meant)
        yield Refusal(code="no_such_hold", facts={of: serial, "event": str(placed)}, instead=instead)


def converting(bench: Bench) -> Iterator[Refusal]:
    """The maker issues a serial for this very machine, never that of another one."""
    into = bench.unit(bench.data["into"])
    if into is not None and into.registered:
        yield Refusal(code="serial_of_another_unit", facts={"unit": into.serial})


def _ours(bench: Bench, serial: str, record: BoardRecord | None) -> Iterator[Refusal]:
    spot = sits(bench.states, serial)
    if spot is not None:
        facts = {"board": serial, **spot.facts()}
        policy = bench.policy_at(spot)
        yield Refusal(code="not_in_custody", facts=facts, instead=(taken_out(serial, spot, policy),))
    elif record is None or not record.in_custody:
        received = Instead(kind=EventKind.RECEIVED, data={"board": serial})
        yield Refusal(code="not_in_custody", facts={"board": serial}, instead=(received,))


def _holds(bench: Bench, of: str, serial: str) -> tuple[Hold, ...]:
    record = bench.board(serial) if of == "board" else bench.unit(serial)
    return record.holds if record else ()
