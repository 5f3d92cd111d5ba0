"""A board that something is told of in its place sits there, whether or not anybody told how it came in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.domain.facts.records import BoardRecord
from service.domain.ledger.binding import attempted, with_binding
from service.domain.ledger.seating import located
from service.domain.terms import ModelId


def met_at(record: BoardRecord, data: Mapping[str, Any], model: str | None = None) -> BoardRecord:
    """The board sits where the block says, if it says so; `model` is that unit's, where the event tells it.

    One that nobody recorded to sit there was fitted without a word: if it was blank before, it may have been
    bound since, and its test is of another day.
    """
    there = located(record, data)
    if _sits(record) == _sits(there):
        return there
    known = attempted(record.binding, None if model is None else ModelId(model))
    return with_binding(there, known)._replace(tested=False)


def _sits(record: BoardRecord) -> tuple[object, ...]:
    return record.in_unit, record.role, record.place
