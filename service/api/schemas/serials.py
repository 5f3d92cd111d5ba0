"""What a serial says of itself."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from service.api.schemas.common import a_flag, a_text, an, some, some_texts
from service.api.schemas.fields import Choice, Out
from service.domain.serials import UnreadableCause


def some_positions(description: str) -> fields.List[Any]:
    """Places of characters, counted from 1."""
    return fields.List(
        fields.Integer(metadata={"format": "int32", "minimum": 1, "maximum": 1_000}),
        required=True,
        metadata={"description": description, "maxItems": 1_000},
    )


class Span(Out):
    """Days from the first to the last, both included."""

    first = fields.Date(required=True, metadata={"description": "The first day."})
    last = fields.Date(required=True, metadata={"description": "The last day."})


class ReadAgain(Out):
    """Where the label has to be read again."""

    field = a_text("The field in which it goes wrong.", longest=64, example="check")
    positions = some_positions("The characters that are wrong, or the check characters, counted from 1.")
    found = a_text("What stands there.", longest=64)
    wanted = a_text("What could stand there.", longest=200)
    suspects = some_positions("Characters at which one common misreading would explain a failed check.")


class DecodedOut(Out):
    """What a serial says of itself, or which of its characters to read again."""

    readable = a_flag("Whether a scheme of the catalogue reads it.")
    scheme = a_text(
        "The scheme that reads it, or comes nearest.", longest=64, required=False, example="tillmoor-unit"
    )
    printed = a_text(
        "It as the label prints it, to compare with.",
        longest=128,
        required=False,
        example="TM PL 2240 0018 8",
    )
    fields_read = fields.Dict(
        data_key="fields",
        keys=fields.String(metadata={"maxLength": 64}),
        values=fields.List(fields.String(metadata={"maxLength": 64}), metadata={"maxItems": 10_000}),
        metadata={"description": "Its fields by name, each with all that it may say."},
    )
    models = some_texts("The models it can be of.", required=False)
    parts = some_texts("The parts it can be of.", required=False)
    made = some(Span, "When it was made. Several where the year code starts over.", required=False)
    unreadable = Choice(UnreadableCause, metadata={"description": "Why it cannot be read."})
    read_again = an(ReadAgain, "Where to read the label again.", required=False)
