"""Events as clients send them: one schema for each kind, made from the registry's field tables.

There is one registry: a field that is added there is in the document and is read. What a client never
sends (`policy`) is left out, and what the service can fill in is not required.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from apispec.ext.marshmallow.openapi import OpenAPIConverter
from marshmallow import ValidationError

from service.api.schemas.closed import StatedBinding
from service.api.schemas.codes import told
from service.api.schemas.event_fields import EXAMPLES, FIELDS, WORDS
from service.api.schemas.fields import (
    Checked,
    Choice,
    Day,
    Flag,
    Group,
    In,
    Moment,
    Several,
    Text,
    Whole,
    Word,
)
from service.domain.ledger.fields import (
    MAX_ITEMS,
    MAX_NAME,
    MAX_TEXT,
    MAX_WHOLE,
    Field,
    FieldTable,
    FieldType,
)
from service.domain.ledger.kinds import KINDS, Kind
from service.usecases.mending import hint, shown
from service.words.event_texts import MEANINGS

NEVER_SENT = frozenset({"policy"})
"""The catalogue in force says it."""
FILLED_IN = frozenset({"role"})
"""Required in the ledger; told by the board's label or record where it is left out."""
BLOCKS = {"naming": "NamingBoard", "was": "FormerPlace", "boards": "SeatedBoard"}
"""Names of the objects inside an event's data."""


def _camel(kind: str) -> str:
    return "".join(part.capitalize() for part in kind.split("_"))


def _schema(name: str, doc: str, members: Mapping[str, Any]) -> type[In]:
    return type(name, (In,), {"__doc__": doc, **members})


def _members(table: FieldTable) -> dict[str, Any]:
    return {name: _field(name, field) for name, field in table.items() if name not in NEVER_SENT}


@cache
def _block(name: str) -> type[In]:
    """The object of a field, the same wherever a field of that name stands."""
    tables = [row.fields[name].of for row in KINDS.values() if name in row.fields]
    assert all(table == tables[0] for table in tables), f"two shapes under the name {name}"
    return _schema(BLOCKS[name], FIELDS[name], _members(tables[0] or {}))


def _field(name: str, field: Field) -> Any:
    example = {"example": EXAMPLES[name]} if name in EXAMPLES else {}
    given = {
        "required": field.required and name not in FILLED_IN,
        "metadata": {"description": FIELDS[name], **example},
    }
    return MAKERS[field.type](name, field, given)


def _choice(name: str, field: Field, given: dict[str, Any]) -> Any:
    if name == "binding":
        return Choice(StatedBinding, **given)
    given["metadata"]["description"] += f" {told({each: WORDS[name][each] for each in field.choices})}"
    return Word(field.choices, **given)


MAKERS: Mapping[FieldType, Callable[[str, Field, dict[str, Any]], Any]] = {
    FieldType.BOARD: lambda _, __, given: Text(longest=MAX_NAME, **given),
    FieldType.UNIT: lambda _, __, given: Text(longest=MAX_NAME, **given),
    FieldType.SERIAL: lambda _, __, given: Text(longest=MAX_NAME, may_be_empty=True, **given),
    FieldType.NAME: lambda _, __, given: Text(longest=MAX_NAME, **given),
    FieldType.TEXT: lambda _, __, given: Text(longest=MAX_TEXT, **given),
    FieldType.CHOICE: _choice,
    FieldType.WHOLE: lambda _, __, given: Whole(least=0, most=MAX_WHOLE, **given),
    FieldType.FLAG: lambda _, __, given: Flag(**given),
    FieldType.DAY: lambda _, __, given: Day(**given),
    FieldType.BLOCK: lambda name, _, given: Group(_block(name), **given),
    FieldType.LIST: lambda name, _, given: Several(Group(_block(name)), most=MAX_ITEMS, **given),
}


def _event_schema(row: Kind) -> type[In]:
    name, meaning = _camel(row.kind), MEANINGS[row.kind]
    doc = f"{meaning[0].upper()}{meaning[1:]}."
    data = _schema(f"{name}Data", f"What is told of it: {meaning}.", _members(row.fields))
    members = {
        "kind": Word((row.kind.value,), required=True, metadata={"description": "What happened."}),
        "occurred_at": Moment(
            metadata={
                "description": "When it happened; left out: now. Not in the future.",
                "example": "2026-01-01T08:30:00Z",
            }
        ),
        "data": Group(data, required=True, metadata={"description": "What is told of it."}),
    }
    return _schema(f"{name}Event", doc, members)


EVENTS: Mapping[str, type[In]] = {row.kind.value: _event_schema(row) for row in KINDS.values()}
"""The schema of an event by its kind."""


class AnEvent(Checked):
    """An event of any kind; `kind` says by which schema it is read."""

    default_error_messages = {"null": "must be an object in braces"}  # noqa: RUF012 - the library's own shape

    def read(self, value: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("must be an object in braces")
        kind = value.get("kind")
        if kind is None:
            raise ValidationError({"kind": ["is missing: say what happened"]})
        if not isinstance(kind, str) or kind not in EVENTS:
            mend = hint(str(kind), EVENTS, found_at="the document")
            raise ValidationError({"kind": [f"{shown(str(kind))} is not known: {mend}"]})
        return _reader(kind).load(value)


@cache
def _reader(kind: str) -> In:
    return EVENTS[kind]()


def told_by_kind(converter: OpenAPIConverter, field: Any, **_: Any) -> dict[str, Any]:
    """The document's part of `AnEvent`, which the library would write as an object of any form, and of a
    word that stands alone."""
    if isinstance(field, Word) and len(field.words) == 1:
        return {"const": field.words[0]}
    if not isinstance(field, AnEvent):
        return {}
    resolve: Callable[[type[In]], dict[str, str]] = converter.resolve_nested_schema
    found = {kind: resolve(schema) for kind, schema in EVENTS.items()}
    return {
        "oneOf": list(found.values()),
        "discriminator": {
            "propertyName": "kind",
            "mapping": {kind: reference["$ref"] for kind, reference in found.items()},
        },
    }
