"""The state tables made anew from the events, and the proof that they are nothing else."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, delete, select, tuple_

from service.domain.ledger.event import Subject, SubjectKind
from service.domain.ledger.fold import States
from service.domain.terms import Serial
from service.store.keeping import keep_boards, keep_units
from service.store.ledger import streams
from service.store.lock import take_write_lock
from service.store.past import folded
from service.store.tables import BOARDS, EVENT_SUBJECTS, UNITS, VACANCIES

CHUNK = 1_000
"""Boards and units that are folded at a time."""


def rebuild(connection: Connection, chunk: int = CHUNK) -> None:
    """Empty the state tables and fill them from the events; nobody can append meanwhile."""
    take_write_lock(connection)
    connection.execute(delete(BOARDS))
    connection.execute(delete(UNITS))
    connection.execute(delete(VACANCIES))
    for states in _folded_in_chunks(connection, chunk):
        keep_boards(connection, states.boards.values())
        keep_units(connection, states.units.values())


def _folded_in_chunks(connection: Connection, chunk: int) -> Iterator[States]:
    key = tuple_(EVENT_SUBJECTS.c.kind, EVENT_SUBJECTS.c.serial)
    columns = (EVENT_SUBJECTS.c.kind, EVENT_SUBJECTS.c.serial)
    each = select(*columns).where(EVENT_SUBJECTS.c.version == 1).order_by(*columns).limit(chunk)
    rows = connection.execute(each).all()
    while rows:
        subjects = [Subject(SubjectKind(row.kind), Serial(row.serial)) for row in rows]
        yield folded(streams(connection, subjects), subjects)
        rows = connection.execute(each.where(key > tuple(rows[-1]))).all()
