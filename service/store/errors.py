"""Why the ledger refuses to append. Each carries what a caller needs to be told the truth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.domain.facts.records import Records
from service.domain.ledger.bindings import Binding
from service.domain.ledger.event import Subject
from service.domain.ledger.fields import Fault
from service.domain.recording.refusal import Refusal


class InvalidEvents(Exception):
    """Events whose data is wrong by itself: pairs of the event's position and a fault."""

    def __init__(self, faults: Sequence[tuple[int, Fault]]) -> None:
        super().__init__("; ".join(f"event {at}: {fault.path} {fault.code}" for at, fault in faults))
        self.faults = tuple(faults)


class Conflict(Exception):
    """The ledger moved on since the caller looked. `records` is what is true now."""

    def __init__(self, message: str, *, records: Records, versions: Mapping[Subject, int]) -> None:
        super().__init__(message)
        self.records = records
        self.versions = dict(versions)
        """The version now of each subject that was looked at with an expectation."""


class AlreadyBound(Conflict):
    """A step that binds was recorded for a board that another event bound to another model."""

    def __init__(self, binding: Binding, *, records: Records) -> None:
        super().__init__("the board is bound to another model already", records=records, versions={})
        self.binding = binding


class NotLegal(Conflict):
    """An event that the ledger and the laws of the work refuse: see `domain.recording`."""

    def __init__(self, position: int, refusals: Sequence[Refusal], *, records: Records) -> None:
        told = ", ".join(refusal.code for refusal in refusals)
        super().__init__(f"event {position} is refused: {told}", records=records, versions={})
        self.position = position
        """Where the event stands among those that were to be appended, from 0."""
        self.refusals = tuple(refusals)


class NotCorrectable(Exception):
    """The event that a correction names cannot be withdrawn.

    `why` is `no_such_event`, `is_a_correction`, `withdrawn_already`, or `later_event`: then `later` is the
    number of an event that would not be legal any more, and `refusals` are what would stand against it.
    """

    def __init__(
        self, seq: int, why: str, *, later: int | None = None, refusals: Sequence[Refusal] = ()
    ) -> None:
        super().__init__(f"event {seq} cannot be withdrawn: {why}" + (f" {later}" if later else ""))
        self.seq = seq
        self.why = why
        self.later = later
        self.refusals = tuple(refusals)
