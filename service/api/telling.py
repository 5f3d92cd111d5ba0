"""From what was sent and passed its schema to the job that is recorded."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from enum import Enum
from typing import Any

from service.domain.ledger.event import SubjectKind
from service.usecases.intake import Told
from service.usecases.recording import Expected, Job

Sent = Mapping[str, Any]


def job(sent: Sent) -> Job:
    """The job of a document that passed `NewEvents`."""
    return Job(events=tuple(map(_told, sent["events"])), expected=tuple(map(_expected, sent["expected"])))


def _told(sent: Sent) -> Told:
    return Told(kind=sent["kind"], occurred_at=sent.get("occurred_at"), data=_plain(sent["data"]))


def _expected(sent: Sent) -> Expected:
    kind = SubjectKind.BOARD if "board" in sent else SubjectKind.UNIT
    return Expected(kind=kind, serial=sent[kind.value], version=sent["version"])


def _plain(value: Any) -> Any:
    """Days and members of closed sets as the texts that the ledger keeps."""
    if isinstance(value, dict):
        return {name: _plain(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    if isinstance(value, date):
        return value.isoformat()
    return value.value if isinstance(value, Enum) else value
