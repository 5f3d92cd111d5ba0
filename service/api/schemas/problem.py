"""The problem body (RFC 9457)."""

from __future__ import annotations

from marshmallow import fields

from service.api.problems.kinds import KINDS
from service.api.problems.problem import MAX_FAULTS
from service.api.schemas.fields import Out


def told(text: str, *, longest: int = 300, **more: object) -> fields.String:
    """A text that the service writes, with its meaning."""
    return fields.String(metadata={"description": text, "maxLength": longest, **more})


class FaultOut(Out):
    """One place that is wrong: `pointer`, `parameter` or `header` says where."""

    detail = fields.String(
        required=True, metadata={"description": "What is wrong and how to mend it.", "maxLength": 600}
    )
    pointer = told(
        "The place in the body: a JSON Pointer (RFC 6901) as a URI fragment.", example="#/boards/0/part"
    )
    parameter = told("The query or path parameter.", example="page_size")
    header = told("The header field.", example="Accept")


class ProblemOut(Out):
    """Every error of this service. Switch on `code`, show `detail` to the person who wrote the call."""

    type = fields.String(
        required=True,
        metadata={
            "description": "The kind of problem, an absolute URI; about:blank where the status says it all.",
            "maxLength": 200,
            "format": "uri-reference",
        },
    )
    title = fields.String(
        required=True, metadata={"description": "The kind in a few words.", "maxLength": 100}
    )
    status = fields.Integer(
        required=True,
        metadata={
            "description": "The status of this response.",
            "minimum": 400,
            "maximum": 599,
            "format": "int32",
        },
    )
    code = fields.String(
        required=True,
        metadata={
            "description": "A stable code. New codes may be added; treat one you don't know as its status. "
            + " ".join(f"`{kind.code}`: {kind.meaning}" for kind in KINDS.values()),
            "maxLength": 64,
            "example": "invalid_request",
        },
    )
    detail = fields.String(
        required=True, metadata={"description": "How to mend this very call.", "maxLength": 2000}
    )
    errors = fields.List(
        fields.Nested(FaultOut),
        metadata={"description": "Each place that is wrong.", "minItems": 1, "maxItems": MAX_FAULTS},
    )
