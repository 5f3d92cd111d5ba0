"""Whether a database holds a sound ledger: asked of every event and of every state that is kept.

Nothing is changed and nothing is locked: all is asked of one moment, while others go on writing. What is
worked out again is compared with what stands there, so a fault of the disk, of a restore, of somebody with
the rights of the owner or of ours is found whoever made it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Select, Table, func, select, text, tuple_
from sqlalchemy.exc import DatabaseError, OperationalError

from service.domain.ledger.bindings import Binding, bindings_in, first_binding
from service.domain.ledger.event import Event, EventKind, Subject, SubjectKind
from service.domain.ledger.kinds import UnknownKind, named_subjects
from service.domain.ledger.states import BoardState, UnitState
from service.domain.terms import Serial
from service.papers.canonical import revision_of
from service.store.among import among, bound_set
from service.store.board_rows import board_row
from service.store.guards import missing_guards
from service.store.ledger import events_after, streams
from service.store.packing import Row
from service.store.past import folded
from service.store.tables import (
    BINDINGS,
    BOARDS,
    CATALOGUE_REVISIONS,
    EVENT_SUBJECTS,
    EVENTS,
    SALE_CHECKS,
    UNITS,
    VACANCIES,
)
from service.store.unit_rows import unit_row
from service.store.vacancies import vacancies_of

CHUNK = 1_000
"""Boards and units that are looked at together."""

UNREADABLE = (UnknownKind, AttributeError, KeyError, TypeError, ValueError)
"""What is raised by an event whose data are not those of its kind."""

Moved = Callable[[int], None]
"""Told how many events, boards and units have been looked at."""


class Size(NamedTuple):
    """How much there is."""

    events: int
    boards: int
    units: int

    @property
    def length(self) -> int:
        """All that will be looked at."""
        return sum(self)


def size(connection: Connection) -> Size:
    """How much there is to look at."""
    kinds = select(EVENT_SUBJECTS.c.kind, func.count()).where(EVENT_SUBJECTS.c.version == 1)
    found = dict(tuple(row) for row in connection.execute(kinds.group_by(EVENT_SUBJECTS.c.kind)))
    events = connection.execute(select(func.count()).select_from(EVENTS)).scalar_one()
    return Size(events, found.get(SubjectKind.BOARD.value, 0), found.get(SubjectKind.UNIT.value, 0))


def verified(connection: Connection, moved: Moved = lambda _: None) -> Iterator[str]:
    """The faults of a ledger, each in a sentence; none of a sound one.

    The connection is one of `engine.snapshot`, the tables are those of this version.
    """
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET LOCAL statement_timeout = 0"))
    else:
        if damage := _damage(connection):
            yield from damage
            return
        yield from _strays(connection)
    yield from (f"the trigger {name} is missing or not in force" for name in missing_guards(connection))
    yield from _faults_by_question(connection)
    yield from _revision_faults(connection)
    progress = _Progress(moved)
    try:
        yield from _event_faults(connection, progress)
        yield from _state_faults(connection, progress)
    except ValueError as error:
        # Not JSON, no moment, no kind: the row does not even come out of the database, and none after it.
        yield f"a row cannot be read, and what follows was not looked at: {error}"


@dataclass(slots=True)
class _Progress:
    """Counts what was looked at."""

    moved: Moved
    done: int = 0

    def on(self, more: int) -> None:
        self.done += more
        self.moved(self.done)


def _damage(connection: Connection) -> list[str]:
    """SQLite's own word on its file."""
    try:
        told = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    except DatabaseError as error:
        # So damaged that it cannot even be looked at; a file that is busy or gone is no fault of the ledger.
        if isinstance(error, OperationalError):
            raise
        told = [str(error.orig)]
    return [f"the file is damaged: {line}" for line in told if line != "ok"]


def _strays(connection: Connection) -> Iterator[str]:
    """SQLite keeps foreign keys only where a session asks it to."""
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"a row of {row[0]} refers to a row of {row[2]} that is not there"


_LATER, _EARLIER = EVENT_SUBJECTS.alias("later"), EVENT_SUBJECTS.alias("earlier")
_SUBJECT = (EVENT_SUBJECTS.c.kind, EVENT_SUBJECTS.c.serial)
_VERSION = EVENT_SUBJECTS.c.version

_QUESTIONS: Mapping[str, Select[Any]] = {
    "the versions of {0} {1} have gaps": select(*_SUBJECT)
    .group_by(*_SUBJECT)
    .having((func.count() != func.max(_VERSION)) | (func.min(_VERSION) != 1)),
    "version {2} of {0} {1} is of an earlier event than the version before": select(
        _LATER.c.kind, _LATER.c.serial, _LATER.c.version
    )
    .join(
        _EARLIER,
        (_EARLIER.c.kind == _LATER.c.kind)
        & (_EARLIER.c.serial == _LATER.c.serial)
        & (_EARLIER.c.version == _LATER.c.version - 1),
    )
    .where(_LATER.c.seq <= _EARLIER.c.seq),
}
"""What is wrong, and the rows of which it is."""


def _faults_by_question(connection: Connection) -> Iterator[str]:
    for told, asked in _QUESTIONS.items():
        yield from (told.format(*row) for row in connection.execute(asked))


def _revision_faults(connection: Connection) -> Iterator[str]:
    """A revision's name comes from its text, and its number is the next one."""
    chosen = select(CATALOGUE_REVISIONS).order_by(CATALOGUE_REVISIONS.c.number)
    for number, row in enumerate(connection.execute(chosen), 1):
        if row.number != number:
            yield f"catalogue revision {row.number} stands where {number} should"
        if row.revision != revision_of(row.document):
            yield f"the text of catalogue revision {row.number} is not that of {row.revision}"


def _event_faults(connection: Connection, progress: _Progress) -> Iterator[str]:
    """Each event by itself and beside the one before it."""
    before: Event | None = None
    while page := events_after(connection, before.seq if before else 0):
        corrected, checks = _corrected(connection, page), _checks(connection, page)
        for event in page:
            yield from _faults_beside(before, event)
            if not isinstance(event.data, dict):
                yield f"event {event.seq} cannot be read: {event.kind}"
            else:
                yield from _faults_of(event, corrected)
                if event.data.get("check") != checks.get(event.seq, event.data.get("check")):
                    yield f"the sale check {checks[event.seq]} is not that of event {event.seq}"
            before = event
        progress.on(len(page))


def _faults_beside(before: Event | None, event: Event) -> Iterator[str]:
    expected = before.seq + 1 if before else 1
    if event.seq != expected:
        yield f"event {event.seq} stands where {expected} should"
    if before is not None and event.recorded_at < before.recorded_at:
        yield f"event {event.seq} was recorded before event {before.seq}"


def _faults_of(event: Event, corrected: Mapping[int, tuple[int | None, set[Subject]]]) -> Iterator[str]:
    withdraws, others = corrected.get(event.seq, (None, set()))
    told = event.data.get("withdraws") if event.kind == EventKind.CORRECTED else None
    if withdraws != told:
        yield f"event {event.seq} says that it withdraws {told}, and its row {withdraws}"
    try:
        named = set(named_subjects(event.kind, event.data)) | others
    except UNREADABLE:
        yield f"event {event.seq} cannot be read: {event.kind}"
        return
    if named != set(event.subjects):
        yield f"event {event.seq} speaks of others than are kept: {_listed(named)}"


def _listed(subjects: Iterable[Subject]) -> str:
    return ", ".join(f"{kind} {serial}" for kind, serial in sorted(subjects))


def _corrected(
    connection: Connection, page: Sequence[Event]
) -> Mapping[int, tuple[int | None, set[Subject]]]:
    """For each correction: what its row says that it withdraws, and whom that event speaks of."""
    chosen = select(EVENTS.c.seq, EVENTS.c.withdraws, *_SUBJECT)
    chosen = chosen.outerjoin(EVENT_SUBJECTS, EVENT_SUBJECTS.c.seq == EVENTS.c.withdraws)
    chosen = chosen.where(EVENTS.c.seq.between(page[0].seq, page[-1].seq), EVENTS.c.withdraws.is_not(None))
    found: dict[int, tuple[int | None, set[Subject]]] = {}
    for seq, withdraws, kind, serial in connection.execute(chosen):
        others = found.setdefault(seq, (withdraws, set()))[1]
        if kind is not None:
            others.add(Subject(SubjectKind(kind), Serial(serial)))
    return found


def _checks(connection: Connection, page: Sequence[Event]) -> Mapping[int, str]:
    """The sale checks of these events. A ledger that was imported has none beside its events."""
    chosen = select(SALE_CHECKS.c.seq, SALE_CHECKS.c.id)
    chosen = chosen.where(SALE_CHECKS.c.seq.between(page[0].seq, page[-1].seq))
    return dict(tuple(row) for row in connection.execute(chosen))


def _state_faults(connection: Connection, progress: _Progress) -> Iterator[str]:
    """Bindings and state tables against what the events lead to."""
    expected = dict.fromkeys((BOARDS, UNITS, VACANCIES), 0)
    for subjects in _subjects_in_chunks(connection):
        events = streams(connection, subjects)
        try:
            states = folded(events, subjects)
        except UNREADABLE:
            yield f"the states from {_listed(subjects[:1])} to {_listed(subjects[-1:])} cannot be worked out"
            continue
        yield from _binding_faults(connection, events, list(states.boards))
        rows = _rows(states.boards.values(), states.units.values())
        for table, wanted in rows.items():
            expected[table] += len(wanted)
            yield from _differences(connection, table, wanted)
        progress.on(len(subjects))
    for table, count in expected.items():
        more = connection.execute(select(func.count()).select_from(table)).scalar_one() - count
        if more > 0:
            yield f"{table.name} has {more} rows of which no event speaks"


def _subjects_in_chunks(connection: Connection) -> Iterator[list[Subject]]:
    each = select(*_SUBJECT).distinct().order_by(*_SUBJECT).limit(CHUNK)
    rows = connection.execute(each).all()
    while rows:
        yield [Subject(SubjectKind(kind), Serial(serial)) for kind, serial in rows]
        rows = connection.execute(each.where(tuple_(*_SUBJECT) > tuple(rows[-1]))).all()


def _rows(boards: Iterable[BoardState], units: Iterable[UnitState]) -> dict[Table, list[Row]]:
    """What the state tables should hold of these."""
    kept = list(units)
    vacant = [each for state in kept for each in vacancies_of(state.record)]
    return {
        BOARDS: [board_row(state) for state in boards],
        UNITS: [unit_row(state) for state in kept],
        VACANCIES: [{"role": each.role, "unit": each.unit, "place": each.name} for each in vacant],
    }


def _differences(connection: Connection, table: Table, wanted: Sequence[Row]) -> Iterator[str]:
    """Rows that are missing or say something else. Rows too many are counted elsewhere."""
    keys = list(table.primary_key)
    owner = table.c.unit if table is VACANCIES else keys[0]
    there = _by_key(connection, table, owner, {row[owner.name] for row in wanted})
    for row in wanted:
        found = there.get(tuple(row[key.name] for key in keys))
        if found != row:
            names = " ".join(str(row[key.name]) for key in keys if row[key.name])
            what = "is missing" if found is None else "is not what the events lead to"
            yield f"the row {names} of {table.name} {what}"


def _by_key(
    connection: Connection, table: Table, owner: ColumnElement[Any], serials: Iterable[str]
) -> dict[tuple[Any, ...], Row]:
    dialect, keys = connection.dialect.name, list(table.primary_key)
    chosen = select(table).where(among(owner, "serials", dialect))
    rows = connection.execute(chosen, {"serials": bound_set(list(serials), dialect)}).mappings()
    return {tuple(row[key.name] for key in keys): dict(row) for row in rows}


def _binding_faults(
    connection: Connection, events: Sequence[Event], boards: Sequence[Serial]
) -> Iterator[str]:
    """Each binding is told by its event, each epoch but the first follows on a correction, and the last
    one is the first that stands."""
    numbered = {event.seq: event for event in events}
    void = {event.data["withdraws"] for event in events if event.kind == EventKind.CORRECTED}
    kept = {board: list(rows) for board, rows in groupby(_kept(connection, boards), lambda row: row.board)}
    speaking = _streams_of(events, boards)
    for board in boards:
        bindings = kept.get(board, [])
        for epoch, each in enumerate(bindings, 1):
            event = numbered.get(each.seq)
            if event is None or (board, each.model) not in set(bindings_in(event)):
                yield f"board {board} is kept as bound by event {each.seq}, which does not say so"
            if each.epoch != epoch or (epoch < len(bindings) and each.seq not in void):
                yield f"the binding of board {board} changed without a correction"
        standing = [each.seq for each in bindings[-1:] if each.seq not in void]
        first = first_binding(board, speaking[board], len(bindings))
        if standing != ([first.seq] if first else []):
            yield f"the binding of board {board} is not the first that its events tell"


def _streams_of(events: Sequence[Event], boards: Iterable[Serial]) -> dict[Serial, list[Event]]:
    found: dict[Serial, list[Event]] = {board: [] for board in boards}
    for event in events:
        for kind, serial in event.subjects:
            if kind is SubjectKind.BOARD and serial in found:
                found[serial].append(event)
    return found


def _kept(connection: Connection, boards: Sequence[Serial]) -> list[Binding]:
    dialect = connection.dialect.name
    chosen = select(BINDINGS).where(among(BINDINGS.c.board, "boards", dialect))
    chosen = chosen.order_by(BINDINGS.c.board, BINDINGS.c.epoch)
    rows = connection.execute(chosen, {"boards": bound_set(boards, dialect)}).mappings()
    return [Binding(**row) for row in rows]
