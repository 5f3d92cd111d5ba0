"""An event of the ledger and whom it speaks of, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, NamedTuple

from service.domain.terms import Serial


class EventKind(StrEnum):
    """What can be recorded. May grow: each kind is one row of `kinds.KINDS`."""

    REGISTERED = "registered"
    RECEIVED = "received"
    READ_OUT = "read_out"
    FITTED = "fitted"
    REMOVED = "removed"
    FOUND = "found"
    STEP_STARTED = "step_started"
    STEP_FINISHED = "step_finished"
    STEP_FAILED = "step_failed"
    ACCESSORY_FITTED = "accessory_fitted"
    TESTED = "tested"
    EXPOSED = "exposed"
    HOLD_PLACED = "hold_placed"
    HOLD_LIFTED = "hold_lifted"
    SALE_CHECKED = "sale_checked"
    SOLD = "sold"
    RETURNED = "returned"
    SCRAPPED = "scrapped"
    DISMANTLED = "dismantled"
    CONVERTED = "converted"
    CORRECTED = "corrected"


class SubjectKind(StrEnum):
    """What an event can speak of."""

    BOARD = "board"
    UNIT = "unit"


class Subject(NamedTuple):
    """One board or unit that an event speaks of. A board and a unit may have equal serials."""

    kind: SubjectKind
    serial: Serial


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An event that somebody wants recorded: it has no number and no recording time yet."""

    kind: str
    occurred_at: datetime
    """When it happened, as stated; aware, UTC."""
    data: Mapping[str, Any]
    """Plain JSON values in the shape of the kind's fields (see `kinds`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One entry of the ledger. It never changes and is never taken out."""

    seq: int
    """Its number, from 1 without gaps. Number order is the order in which events took effect."""
    kind: str
    occurred_at: datetime
    recorded_at: datetime
    """The database's time, UTC; never earlier than that of the event before."""
    data: Mapping[str, Any]
    subjects: tuple[Subject, ...]
    """All boards and units it speaks of; a correction speaks of those of the event it withdraws too."""
