"""A serial scheme: what a maker's serial numbers look like and what they say."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from service.domain.serials.compiled import Compiled, compiled
from service.domain.serials.fields import Field
from service.domain.serials.tables import Table
from service.domain.terms import ModelId, PartNumber, SchemeId


class Subject(StrEnum):
    """What a serial is the serial of. Closed."""

    UNIT = "unit"
    BOARD = "board"


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
    """Names of the fields that say when it was made, the year first; may be empty."""
    models: Table[ModelId]
    """For units: the models that a serial can be of."""
    parts: Table[PartNumber]
    """For boards: the parts that a serial can be of."""
    label: tuple[str, ...]
    """What the label prints before each field and after the last: spaces, dashes. May be empty."""
    compiled: Compiled = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "compiled", compiled(self.fields, self.made, lookalikes=self.lookalikes))
