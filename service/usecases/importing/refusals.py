"""Why the ledger refuses a line, in words, and what would be right instead."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from service.domain.ledger.event import EventKind
from service.domain.recording.refusal import Instead, Refusal
from service.files.rows import Flaw
from service.store.errors import AlreadyBound, Conflict, InvalidEvents, NotCorrectable, NotLegal
from service.usecases.importing.entry import Entry
from service.usecases.importing.flaws import flaws_of
from service.usecases.intake.drafting import WRONG
from service.usecases.mending import Fault
from service.words.names import Names
from service.words.recording_texts import UNCORRECTABLE
from service.words.standing import refusal_text

Refusing = Conflict | InvalidEvents | NotCorrectable
"""What the ledger raises for a line that it does not take."""


def refused(entry: Entry, error: Refusing, names: Names) -> Sequence[Flaw]:
    """What is wrong with a line, as the ledger says."""
    match error:
        case InvalidEvents():
            return flaws_of(entry, (Fault(wrong.path, WRONG[wrong.code]) for _, wrong in error.faults))
        case NotLegal():
            reasons = _told(error.refusals, names)
        case AlreadyBound():
            reasons = _told([_bound_by(error)], names)
        case NotCorrectable():
            reasons = _uncorrectable(error, names)
        case _:
            reasons = iter([str(error)])
    return [Flaw(entry.line, "", reason) for reason in reasons]


def _told(refusals: Sequence[Refusal], names: Names) -> Iterator[str]:
    for each in refusals:
        mends = ", then ".join(map(_mend, each.instead))
        said = refusal_text(each.code, each.facts, names)
        yield f"{said} Record first: {mends}" if mends else said


def _mend(instead: Instead) -> str:
    return f"{instead.kind.value} {json.dumps(dict(instead.data), ensure_ascii=False)}"


def _bound_by(error: AlreadyBound) -> Refusal:
    binding = error.binding
    mend = Instead(kind=EventKind.READ_OUT, data={"board": binding.board})
    facts = {"board": binding.board, "bound_model": binding.model}
    return Refusal(code="bound_to_other_model", facts=facts, instead=(mend,))


def _uncorrectable(error: NotCorrectable, names: Names) -> Iterator[str]:
    later = f" (event {error.later})" if error.later else ""
    yield f"event {error.seq} cannot be withdrawn: {names.language.say(UNCORRECTABLE[error.why])}{later}"
    yield from _told(error.refusals, names)
