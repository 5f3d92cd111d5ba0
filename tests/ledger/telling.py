"""Short ways to tell what happened, and to see what is known after it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from service.domain.facts.records import BoardRecord, UnitRecord
from service.domain.ledger.event import Draft, Event, EventKind
from service.domain.ledger.fold import States, step, withdrawn
from service.domain.ledger.kinds import draft_faults, named_subjects
from service.domain.ledger.records import gathered
from service.domain.place import Place
from service.domain.terms import RoleId, Serial

LONG_AGO = datetime(2025, 1, 1, tzinfo=UTC)
MAIN = Place(RoleId("main"))
PANEL = Place(RoleId("panel"))
LAMP = Place(RoleId("lamp"))
AT_MAIN = {"role": "main", "policy": "names"}
AT_PANEL = {"role": "panel", "policy": "follows"}
AT_LAMP = {"role": "lamp", "policy": "free"}


def draft(kind: str, **data: Any) -> Draft:
    """An event of a kind; it must be one that the registry takes."""
    told = Draft(kind=kind, occurred_at=LONG_AGO, data=data)
    assert list(draft_faults(told)) == []
    return told


def numbered(drafts: Sequence[Draft]) -> list[Event]:
    """The drafts as a ledger's first events, one a second."""
    events: list[Event] = []
    for seq, each in enumerate(drafts, 1):
        subjects = set(named_subjects(each.kind, each.data))
        if each.kind == EventKind.CORRECTED:
            subjects |= set(events[each.data["withdraws"] - 1].subjects)
        events.append(
            Event(
                seq=seq,
                kind=each.kind,
                occurred_at=each.occurred_at,
                recorded_at=LONG_AGO + timedelta(seconds=seq),
                data=each.data,
                subjects=tuple(sorted(subjects)),
            )
        )
    return events


def fold(events: Sequence[Event]) -> States:
    """Every board and unit that the events speak of, folded. `events` are in order of sequence."""
    states, void = States(), withdrawn(events)
    for event in events:
        step(states, event, withdrawn=event.seq in void)
    return states


def states_after(*drafts: Draft) -> States:
    return fold(numbered(drafts))


def board_after(serial: str, *drafts: Draft) -> BoardRecord:
    return gathered(states_after(*drafts), [Serial(serial)], [], len(drafts)).boards[Serial(serial)]


def unit_after(serial: str, *drafts: Draft) -> UnitRecord:
    return gathered(states_after(*drafts), [], [Serial(serial)], len(drafts)).units[Serial(serial)]


def factory_set(unit: str = "U1", main: str = "M1", panel: str = "P1", model: str = "plover-40") -> Draft:
    """A unit registered with the pair that the factory fitted."""
    bound = {"binding": "bound", "bound_model": model}
    return draft(
        "registered",
        unit=unit,
        model=model,
        boards=[{"board": main, **AT_MAIN, **bound, "holds": unit}, {"board": panel, **AT_PANEL, **bound}],
    )


def fit(board: str, unit: str = "U1", model: str | None = "plover-40", **where: Any) -> Draft:
    known = {"model": model} if model else {}
    return draft("fitted", board=board, unit=unit, **(where or AT_MAIN), **known)


def remove(board: str, unit: str = "U1", **where: Any) -> Draft:
    return draft("removed", board=board, unit=unit, **(where or AT_MAIN))


def introduce(how: str, naming: str, follower: str, unit: str = "U1") -> Draft:
    return draft(
        f"step_{how}",
        step="introduce",
        unit=unit,
        board=follower,
        role="panel",
        naming={"board": naming, "role": "main"},
    )
