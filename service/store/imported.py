"""Which lines of files were taken in already: each line has a mark, kept beside its first event.

The mark is written in the transaction of the line's events, so there are both or neither: a file can
be imported again, after whatever stopped it, and each of its lines counts once.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from hashlib import sha256
from typing import Any

import orjson
from sqlalchemy import Connection, insert, select

from service.store.among import among, bound_set
from service.store.tables import IMPORTED


def mark_of(kind: str, content: Mapping[str, Any]) -> str:
    """The mark of a line of this kind that says this, in whatever order: a SHA-256 in hexadecimal."""
    told = orjson.dumps([kind, content], option=orjson.OPT_SORT_KEYS)
    return sha256(told).hexdigest()


def marked(connection: Connection, marks: Collection[str]) -> dict[str, int]:
    """Those of the marks that are there, each with the number of its line's first event."""
    dialect = connection.dialect.name
    chosen = select(IMPORTED).where(among(IMPORTED.c.mark, "marks", dialect))
    rows = connection.execute(chosen, {"marks": bound_set(marks, dialect)})
    return {row.mark: row.seq for row in rows}


def keep_marks(connection: Connection, numbers: Mapping[str, int]) -> None:
    """Remember lines by their marks, each with the number of its first event."""
    if numbers:
        connection.execute(insert(IMPORTED), [{"mark": mark, "seq": seq} for mark, seq in numbers.items()])
