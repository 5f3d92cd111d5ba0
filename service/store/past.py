"""The ledger as it stood at a past moment: folded from the events recorded until then."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from sqlalchemy import Connection

from service.domain.facts.records import Records
from service.domain.ledger.event import Event, Subject, SubjectKind
from service.domain.ledger.fold import States, fold_board, fold_unit
from service.domain.ledger.records import gathered
from service.domain.terms import Serial
from service.store.ledger import last_number, streams


def gather_past(
    connection: Connection,
    board_serials: Collection[Serial],
    unit_serials: Collection[Serial],
    as_of: datetime,
) -> Records:
    """As `gather`, at a moment. Correct rather than fast: streams are read and folded, wave by wave."""
    until = last_number(connection, as_of)
    asked = {Subject(SubjectKind.BOARD, serial) for serial in board_serials}
    asked |= {Subject(SubjectKind.UNIT, serial) for serial in unit_serials}
    # A board can only sit in a unit, or have a holder or donor, that an event of its own names.
    told = streams(connection, asked, until)
    asked |= {subject for event in told for subject in event.subjects if subject.kind is SubjectKind.BOARD}
    states = folded(streams(connection, asked, until), asked)
    others = {Subject(SubjectKind.UNIT, serial) for serial in _holders_and_donors(states)} - asked
    states.units.update(folded(streams(connection, others, until), others).units)
    return gathered(states, board_serials, unit_serials, until)


def folded(events: Iterable[Event], subjects: Iterable[Subject]) -> States:
    """The states of these subjects; `events` hold at least all that speak of them, in order."""
    streams_: dict[Subject, list[Event]] = {subject: [] for subject in subjects}
    for event in events:
        for subject in event.subjects:
            if subject in streams_:
                streams_[subject].append(event)
    states = States()
    for subject, stream in streams_.items():
        if stream and subject.kind is SubjectKind.BOARD:
            states.boards[subject.serial] = fold_board(subject.serial, stream)
        elif stream:
            states.units[subject.serial] = fold_unit(subject.serial, stream)
    return states


def _holders_and_donors(states: States) -> set[Serial]:
    records = [board.record for board in states.boards.values()]
    return {serial for record in records for serial in (record.held_serial, record.donor) if serial}
