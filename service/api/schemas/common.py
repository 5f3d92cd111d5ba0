"""Shapes that several answers share."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from service.api.edge.paging import DEFAULT_SIZE, MAX_SIZE
from service.api.schemas.fields import In, Out, QueryWhole, Text


def a_text(description: str, *, longest: int = 200, required: bool = True, **more: Any) -> fields.String:
    """A text of an answer."""
    return fields.String(
        required=required, metadata={"description": description, "maxLength": longest, **more}
    )


def a_flag(description: str) -> fields.Boolean:
    """A true or false of an answer."""
    return fields.Boolean(required=True, metadata={"description": description})


def a_number(description: str, *, required: bool = True, most: int = 1_000_000_000) -> fields.Integer:
    """A whole number of an answer."""
    return fields.Integer(
        required=required,
        metadata={"description": description, "format": "int32", "minimum": 0, "maximum": most},
    )


def some_texts(
    description: str, *, longest: int = 64, required: bool = True, most: int = 10_000
) -> fields.List[Any]:
    """A list of short texts of an answer."""
    return fields.List(
        fields.String(metadata={"maxLength": longest}),
        required=required,
        metadata={"description": description, "maxItems": most},
    )


def some(
    schema: type[Out], description: str, *, required: bool = True, most: int = 10_000
) -> fields.List[Any]:
    """A list of objects of an answer."""
    return fields.List(
        fields.Nested(schema), required=required, metadata={"description": description, "maxItems": most}
    )


def an(schema: type[Out], description: str, *, required: bool = True) -> fields.Nested:
    """An object of an answer."""
    return fields.Nested(schema, required=required, metadata={"description": description})


def an_or_null(schema: type[Out], description: str) -> fields.Nested:
    """An object of an answer, null where there is none."""
    return fields.Nested(schema, required=True, allow_none=True, metadata={"description": description})


def a_text_by_name(description: str, *, longest: int = 200) -> fields.Dict:
    """Texts of an answer by their names."""
    return _by_name(fields.String(metadata={"maxLength": longest}), description)


def texts_by_name(description: str, *, most: int = 10_000) -> fields.Dict:
    """Lists of texts of an answer by their names."""
    values = fields.List(fields.String(metadata={"maxLength": 200}), metadata={"maxItems": most})
    return _by_name(values, description)


def a_number_by_name(description: str, *, most: int = 1_000_000_000) -> fields.Dict:
    """Whole numbers of an answer by their names."""
    return _by_name(fields.Integer(metadata={"format": "int32", "minimum": 0, "maximum": most}), description)


def _by_name(values: fields.Field[Any], description: str) -> fields.Dict:
    return fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        values=values,
        required=True,
        metadata={"description": description},
    )


REVISION = "The catalogue revision that the answer was made from."


def the_revision() -> fields.String:
    """The revision of an answer."""
    return a_text(REVISION, longest=64, example="r-3f6c1d2e4b5a6978")


class Money(Out):
    """An amount of money."""

    amount = a_text("The amount, a decimal.", longest=24, pattern="^[0-9]+(\\.[0-9]+)?$", example="129.00")
    currency = a_text("ISO 4217.", longest=3, example="EUR")


class Paged(In):
    """A page of a list."""

    page_size = QueryWhole(
        least=1,
        most=MAX_SIZE,
        load_default=DEFAULT_SIZE,
        metadata={"description": "How many items to show at most.", "example": 20},
    )
    cursor = Text(
        longest=512,
        metadata={
            "description": "`next_cursor` of the page before, unchanged. Leave it out for the first page."
        },
    )


def the_next_cursor() -> fields.String:
    """The cursor of the next page."""
    return fields.String(
        required=True,
        allow_none=True,
        metadata={
            "description": "Ask again with it as `cursor` for the next page; null on the last.",
            "maxLength": 512,
        },
    )
