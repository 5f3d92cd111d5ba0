"""Answers of the till: kept once, never changed, found by their id."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import orjson
from sqlalchemy import Connection, insert, select

from service.domain.terms import Serial
from service.store.tables import SALE_CHECKS

JSON_COLUMNS = ("question", "answer", "read_set")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCheck:
    """One answer, exactly as it was given."""

    id: str
    owner: str
    made_at: datetime
    seq: int
    """The event that tells of it."""
    as_of: datetime | None
    """The moment that was asked about; None: the one at which it was asked."""
    board: Serial
    unit: Serial | None
    decision: str
    revision: str
    ledger_version: int
    question: Mapping[str, Any]
    """As it was sent, in the form that reads it again."""
    answer: Mapping[str, Any]
    read_set: Mapping[str, Any]
    """Versions of what it was decided from, and what was looked for and not there."""


def keep_check(connection: Connection, check: KeptCheck) -> None:
    """Keep an answer, in the transaction of the event that tells of it."""
    row = {column.name: getattr(check, column.name) for column in SALE_CHECKS.c}
    row |= {name: orjson.dumps(row[name]).decode() for name in JSON_COLUMNS}
    connection.execute(insert(SALE_CHECKS), row)


def kept_check(connection: Connection, identifier: str) -> KeptCheck | None:
    """The answer of that id, or None. Whose it is the caller has to ask."""
    found = select(SALE_CHECKS).where(SALE_CHECKS.c.id == identifier)
    row = connection.execute(found).mappings().first()
    if row is None:
        return None
    return KeptCheck(**{**row, **{name: orjson.loads(row[name]) for name in JSON_COLUMNS}})


def told_for(connection: Connection, units: Collection[Serial], since: int) -> list[int]:
    """The events that tell of checks made for these units after an event, by their numbers.

    A check speaks of the board alone, for nothing happened to the unit; but it was answered by its record.
    """
    columns = SALE_CHECKS.c
    chosen = select(columns.seq).where(columns.unit.in_(units), columns.seq > since)
    return list(connection.execute(chosen).scalars())
