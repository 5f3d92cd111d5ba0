"""First answers to requests that stored something, so that a repeated request is answered alike."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import cache
from typing import Any, NamedTuple

import orjson
from sqlalchemy import (
    Connection,
    Delete,
    Insert,
    Select,
    and_,
    bindparam,
    delete,
    func,
    insert,
    select,
    tuple_,
)

from service.store.lock import clock, told_time
from service.store.tables import REPEATS

SWEPT_AT_ONCE = 100
"""So many old answers are dropped by one write at most: nobody waits long after a quiet time."""


class RepeatKey(NamedTuple):
    """What tells one request from another."""

    owner: str
    """Whose request it is: a key of another owner is another key."""
    method: str
    path: str
    key: str
    """As the caller chose it."""


class FirstAnswer(NamedTuple):
    """What was answered, and to what."""

    fingerprint: str
    """Of the request's content."""
    answer: Mapping[str, Any]


class Kept(NamedTuple):
    """What is kept of earlier requests."""

    first: FirstAnswer | None
    """The first answer to this request; None where it is new."""
    since: datetime | None
    """When the oldest answer of all was given."""
    now: datetime
    """By the database's clock: a host whose own clock is wrong drops nothing too early."""


def kept(connection: Connection, key: RepeatKey) -> Kept:
    """Whether a request came before, and whether there is anything to sweep, in one look."""
    row = connection.execute(_finding(connection.dialect.name), key._asdict()).one()
    first = None if row.answer is None else FirstAnswer(row.fingerprint, orjson.loads(row.answer))
    return Kept(first, row.since, told_time(row.now))


def keep_answer(connection: Connection, key: RepeatKey, given: FirstAnswer, moment: datetime) -> None:
    """Keep an answer, in the transaction of what it acknowledges. `answer` holds plain JSON values."""
    answer = orjson.dumps(given.answer).decode()
    row = {**key._asdict(), "fingerprint": given.fingerprint, "answer": answer, "answered_at": moment}
    connection.execute(_keeping(), row)


def sweep(connection: Connection, before: datetime) -> None:
    """Drop the oldest of the answers that were given before a moment."""
    connection.execute(_sweeping(), {"before": before})


@cache
def _finding(dialect: str) -> Select[Any]:
    columns = REPEATS.c
    oldest = select(func.min(columns.answered_at).label("since")).subquery()
    this = and_(*(columns[name] == bindparam(name) for name in RepeatKey._fields))
    now = clock(dialect).label("now")
    chosen = select(oldest.c.since, columns.fingerprint, columns.answer, now)
    return chosen.select_from(oldest.outerjoin(REPEATS, this))


@cache
def _keeping() -> Insert:
    return insert(REPEATS)


@cache
def _sweeping() -> Delete:
    columns = REPEATS.c
    keys = [columns[name] for name in RepeatKey._fields]
    old = select(*keys).where(columns.answered_at < bindparam("before"))
    old = old.order_by(columns.answered_at).limit(SWEPT_AT_ONCE)
    return delete(REPEATS).where(tuple_(*keys).in_(old))
