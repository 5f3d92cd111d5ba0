"""Whether a database holds a sound ledger: asked of every event and of every state that is kept.

Nothing is changed and nothing is locked: all is asked of one moment, while others go on writing. What is
worked out again is compared with what stands there, so a fault of the disk, of a restore, of somebody with
the rights of the owner or of ours is found whoever made it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from sqlalchemy import Connection, Select, func, select
from sqlalchemy.exc import DatabaseError, OperationalError

from service.domain.ledger.event import SubjectKind
from service.papers.canonical import revision_of
from service.store.guards import missing_guards
from service.store.tables import CATALOGUE_REVISIONS, EVENT_SUBJECTS, EVENTS
from service.store.verified_events import SUBJECT, Moved, Progress, event_faults
from service.store.verified_states import state_faults


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

    The connection is one of `engine.snapshot`, `unhurried` where the ledger may be long; the tables are those
    of this version.
    """
    if connection.dialect.name == "sqlite":
        if damage := _damage(connection):
            yield from damage
            return
        yield from _strays(connection)
    yield from (f"the trigger {name} is missing or not in force" for name in missing_guards(connection))
    yield from _faults_by_question(connection)
    yield from _revision_faults(connection)
    progress = Progress(moved)
    try:
        yield from event_faults(connection, progress)
        yield from state_faults(connection, progress)
    except ValueError as error:
        # Not JSON, no moment, no kind: the row does not even come out of the database, and none after it.
        yield f"a row cannot be read, and what follows was not looked at: {error}"


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
_VERSION = EVENT_SUBJECTS.c.version

_QUESTIONS: Mapping[str, Select[Any]] = {
    "the versions of {0} {1} have gaps": select(*SUBJECT)
    .group_by(*SUBJECT)
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
