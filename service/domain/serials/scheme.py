"""A serial scheme: what a maker's serial numbers look like and what they say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Generic, TypeVar

from service.domain.serials.compiled import Compiled, compiled
from service.domain.serials.fields import Field, Value, Values
from service.domain.terms import ModelId, PartNumber, SchemeId

Target = TypeVar("Target", bound=str)


class Subject(StrEnum):
    """What a serial is the serial of. Closed."""

    UNIT = "unit"
    BOARD = "board"


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What a table row wants of one field: one of `values`, or a value within bounds."""

    field: str
    values: Values = frozenset()
    first: Value | None = None
    last: Value | None = None
    """Both inclusive; None is unbounded. Only looked at where `values` is empty."""

    def meets(self, value: Value) -> bool:
        """Whether one value of the field meets it; bounds compare texts character by character."""
        if self.values:
            return value in self.values
        return (self.first is None or self.first <= value) and (  # type: ignore[operator]
            self.last is None or value <= self.last  # type: ignore[operator]
        )

    def may_meet(self, values: Values) -> bool:
        """Whether any value that the field may have meets it."""
        return not self.values.isdisjoint(values) if self.values else any(map(self.meets, values))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row(Generic[Target]):
    """Serials whose fields meet all conditions name one of these targets."""

    when: tuple[Condition, ...]
    targets: frozenset[Target]


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """The layout of one maker's serials for units or for boards.

    Made by `scheme_from_document`, which refuses what is not a scheme.
    """

    id: SchemeId
    name: str
    subject: Subject
    alphabet: str
    """The characters of its codes, sequences and fixed texts; check characters may be others."""
    lookalikes: bool
    """Whether a typed O is read as 0 (I as 1, and back) where only the other can stand."""
    fields: tuple[Field, ...]
    order: tuple[str, ...]
    """Names of the fields that order its serials, the most significant first; may be empty."""
    made: tuple[str, ...]
    """Names of the fields that say when it was made, a year first; may be empty."""
    models: tuple[Row[ModelId], ...] = ()
    parts: tuple[Row[PartNumber], ...] = ()
    label: tuple[str, ...] = ()
    """What the label prints before each field and after the last: spaces, dashes. May be empty."""
    compiled: Compiled = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "compiled", compiled(self.fields, lookalikes=self.lookalikes))

    def field_named(self, name: str) -> Field:
        """The field of that name, which is one of `fields`."""
        return next(field for field in self.fields if field.name == name)

