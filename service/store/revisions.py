"""Catalogue revisions: published once, never changed, numbered in the order of publication."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, func, insert, select

from service.store.lock import database_time, take_write_lock
from service.store.tables import CATALOGUE_REVISIONS

_NEWEST_FIRST = select(CATALOGUE_REVISIONS).order_by(CATALOGUE_REVISIONS.c.number.desc()).limit(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One published catalogue."""

    number: int
    """From 1 without gaps."""
    revision: str
    """The identifier that its content gives it."""
    document: str
    published_at: datetime


class RevisionTaken(Exception):
    """The identifier is that of a published catalogue with another text: identifiers come from content."""


def publish(connection: Connection, document: str, revision: str) -> Revision:
    """Put a catalogue in force. The same content a second time is the revision that it was.

    The connection is one of `engine.writing`. Raises RevisionTaken.
    """
    take_write_lock(connection)
    known = _first(connection, select(CATALOGUE_REVISIONS).where(CATALOGUE_REVISIONS.c.revision == revision))
    if known is not None:
        if known.document != document:
            raise RevisionTaken(revision)
        return known
    last, now = current(connection), database_time(connection)
    new = Revision(
        number=1 if last is None else last.number + 1,
        revision=revision,
        document=document,
        published_at=now if last is None else max(now, last.published_at),
    )
    connection.execute(
        insert(CATALOGUE_REVISIONS).values(
            number=new.number, revision=revision, document=document, published_at=new.published_at
        )
    )
    return new


def current(connection: Connection) -> Revision | None:
    """The revision in force; None before the first."""
    return _first(connection, _NEWEST_FIRST)


def at(connection: Connection, moment: datetime) -> Revision | None:
    """The revision that was in force at a moment; None before the first."""
    return _first(connection, _NEWEST_FIRST.where(CATALOGUE_REVISIONS.c.published_at <= moment))


def current_number(connection: Connection) -> int:
    """The number of the revision in force, 0 for none: cheap, to see whether there is a newer one."""
    return int(
        connection.execute(select(func.coalesce(func.max(CATALOGUE_REVISIONS.c.number), 0))).scalar_one()
    )


def in_force(connection: Connection) -> str | None:
    """The identifier of the revision in force, None before the first. Its text is not read."""
    columns = CATALOGUE_REVISIONS.c
    found: str | None = connection.execute(
        select(columns.revision).order_by(columns.number.desc()).limit(1)
    ).scalar_one_or_none()
    return found


def _first(connection: Connection, chosen: Select[Any]) -> Revision | None:
    row = connection.execute(chosen).mappings().first()
    return None if row is None else Revision(**row)
