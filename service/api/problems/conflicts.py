"""What was sent is right by itself, and the ledger says otherwise: a 409 with what is true now."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from service.api.present.standing import instead, now, refusals
from service.api.present.wording import Wording
from service.api.problems.problem import Problem, in_body
from service.domain.ledger.event import EventKind
from service.domain.recording.refusal import Instead, Refusal
from service.store.errors import AlreadyBound, Conflict, NotCorrectable, NotLegal
from service.words.recording_texts import UNCORRECTABLE

CODES = ("version_conflict", "already_bound", "not_legal", "not_correctable")


@contextmanager
def told_as_conflicts(wording: Wording) -> Iterator[None]:
    """What the ledger refuses inside is raised as a `Problem` of one of CODES."""
    try:
        yield
    except NotLegal as fault:
        raise _not_legal(fault, wording) from None
    except AlreadyBound as fault:
        raise _already_bound(fault, wording) from None
    except Conflict as fault:
        raise _moved_on(fault, wording) from None
    except NotCorrectable as fault:
        raise _not_correctable(fault, wording) from None


def _not_legal(fault: NotLegal, wording: Wording) -> Problem:
    shown = refusals(fault.refusals, wording)
    faults = [in_body(("events", fault.position), each["text"]) for each in shown]
    members = {
        "position": fault.position,
        "refusals": shown,
        "now": now(fault.records, wording),
        "instead": instead(fault.refusals),
    }
    detail = f"events/{fault.position}: {shown[0]['text']} Nothing was recorded; see instead"
    return Problem("not_legal", detail, faults, members=members)


def _already_bound(fault: AlreadyBound, wording: Wording) -> Problem:
    binding = fault.binding
    facts = {"board": binding.board, "bound_model": binding.model}
    read = Instead(kind=EventKind.READ_OUT, data={"board": binding.board})
    against = Refusal(code="bound_to_other_model", facts=facts, instead=(read,))
    shown = refusals([against], wording)
    detail = (
        f"{shown[0]['text']} Event {binding.seq} says so: read it out, and correct that event if it is wrong"
    )
    members = {"refusals": shown, "now": now(fault.records, wording), "instead": instead([against])}
    return Problem("already_bound", detail, members=members)


def _moved_on(fault: Conflict, wording: Wording) -> Problem:
    stand = ", ".join(
        f"{kind.value} {serial} is at {version}" for (kind, serial), version in fault.versions.items()
    )
    detail = f"nothing was recorded: {stand}; look at now, and send the versions that you have seen"
    return Problem("version_conflict", detail, members={"now": now(fault.records, wording)})


def _not_correctable(fault: NotCorrectable, wording: Wording) -> Problem:
    why = wording.names.language.say(UNCORRECTABLE[fault.why])
    later = f" (event {fault.later})" if fault.later else ""
    detail = f"event {fault.seq} cannot be withdrawn: {why}{later}"
    shown = refusals(fault.refusals, wording)
    return Problem("not_correctable", detail, members={"refusals": shown} if shown else {})
