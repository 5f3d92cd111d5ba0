"""A line of a file of events: as the feed gives them, or as somebody wrote them down elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.domain.ledger.kinds import KINDS
from service.files.rows import Flaw
from service.usecases.importing import cells
from service.usecases.importing.columns import Column, Columns
from service.usecases.importing.entry import Entry
from service.usecases.intake import Told, untyped

EVENT_COLUMNS = Columns(
    (
        Column("kind", "the kind of event", cells.one_of(tuple(KINDS)), required=True),
        Column("occurred_at", "when it happened: 2025-03-31T09:30:00Z", cells.moment, required=True),
        Column(
            "data",
            "what happened: a JSON object, its fields those of the kind",
            cells.json_object,
            required=True,
        ),
        Column("seq", "its number in the ledger that it comes from; other lines refer to it", cells.whole),
        Column("recorded_at", "when that ledger recorded it: the line is taken word for word", cells.moment),
        Column("subjects", "whom it speaks of; not read, for the data tells", cells.anything),
        Column("text", "the event in words; not read either", cells.anything),
    )
)


def event_entry(line: int, values: Mapping[str, Any]) -> Entry | list[Flaw]:
    """The event of a line, or what is wrong with the form of its data."""
    recorded = values.get("recorded_at")
    content = {
        "kind": values["kind"],
        "occurred_at": values["occurred_at"].isoformat(),
        "data": values["data"],
        "seq": values.get("seq"),
        "recorded_at": recorded and recorded.isoformat(),
    }
    told = Told(kind=values["kind"], occurred_at=values["occurred_at"], data=values["data"])
    wrong = untyped(told)
    if wrong:
        return [Flaw(line, ".".join(map(str, fault.path)), fault.detail) for fault in wrong]
    return Entry(
        line=line,
        content=content,
        told=(told,),
        columns={},
        number=values.get("seq"),
        recorded_at=recorded,
    )
