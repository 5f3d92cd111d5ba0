"""Events as the API shows them: what is recorded, with its words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

from service.api.present.wording import Wording
from service.domain.ledger.event import Event, Subject
from service.store.feed import Chapter, Entry
from service.usecases.history import History
from service.usecases.recording import Recorded
from service.words.events import event_text


def recorded(of: Recorded, wording: Wording) -> dict[str, Any]:
    """The answer to what was recorded."""
    shown: dict[str, Any] = {
        "events": [event(each, wording) for each in of.entries],
        "versions": versions(of.versions),
    }
    if of.answers_given:
        shown["answers_given"] = [_answer_given(each) for each in of.answers_given]
    return shown


def page_of(shown: Mapping[str, Any]) -> str:
    """The page of the feed that holds what `recorded` shows, and nothing else."""
    events = shown["events"]
    return f"/v1/events?after={events[0]['seq'] - 1}&page_size={len(events)}"


def event(of: Entry, wording: Wording) -> dict[str, Any]:
    """One event."""
    told = of.event
    return {
        "seq": told.seq,
        "kind": told.kind,
        "occurred_at": moment(told.occurred_at),
        "recorded_at": moment(told.recorded_at),
        "subjects": versions(of.versions),
        "data": dict(told.data),
        "text": event_text(told.kind, told.data, wording.names),
    }


def history(of: History, wording: Wording) -> dict[str, Any]:
    """A page of what happened to one board or unit, without the cursor of the next."""
    return {
        of.subject.kind.value: of.subject.serial,
        "items": [_chapter(each, wording) for each in of.chapters],
    }


def feed(of: Iterable[Entry], after: int, wording: Wording) -> dict[str, Any]:
    """A page of the feed; after an empty one it goes on where it stood."""
    items = [event(each, wording) for each in of]
    return {"items": items, "next_after": items[-1]["seq"] if items else after}


def versions(of: Mapping[Subject, int]) -> list[dict[str, Any]]:
    """Boards and units with their versions, as they can be sent back."""
    return [{kind.value: serial, "version": version} for (kind, serial), version in of.items()]


def moment(of: datetime) -> str:
    """A moment in UTC, as RFC 3339 has it."""
    return of.astimezone(UTC).isoformat().replace("+00:00", "Z")


def _chapter(of: Chapter, wording: Wording) -> dict[str, Any]:
    shown = {"version": of.version, **event(of.entry, wording)}
    if of.withdrawn is not None:
        shown["withdrawn"] = {"by": of.withdrawn.by, "reason": of.withdrawn.reason}
    return shown


def _answer_given(of: Event) -> dict[str, Any]:
    told = {name: of.data[name] for name in ("check", "board", "unit") if name in of.data}
    return {"seq": of.seq, "kind": of.kind, **told, "recorded_at": moment(of.recorded_at)}
