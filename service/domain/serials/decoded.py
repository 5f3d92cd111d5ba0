"""What reading a serial comes to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from service.domain.serials.fields import Value, Values
from service.domain.terms import ModelId, PartNumber, SchemeId, Serial


class UnreadableCause(StrEnum):
    """Why a text is no serial of any scheme. Closed."""

    NO_SCHEME = "no_scheme"
    """No scheme has this length and these characters."""
    CHECK_CHARACTER = "check_character"
    """A scheme has it, and its check character disagrees: something was misread or mistyped."""
    FIELD = "field"
    """A scheme nearly has it: a character or value stands where it cannot stand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoded:
    """What a serial says of itself."""

    serial: Serial
    """Compacted, with look-alikes resolved: the one form in which it is stored and compared."""
    scheme: SchemeId
    fields: Mapping[str, Values] = field(hash=False)
    """Field name to all that it may say; never an empty set."""
    models: frozenset[ModelId]
    """The models it can be; empty where the scheme names none."""
    parts: frozenset[PartNumber]
    """For a board: the parts it can be; empty where the scheme names none."""
    order_keys: frozenset[tuple[Value, ...]]
    """Its possible places in the scheme's order, comparable within the scheme; empty without one."""
    made: tuple[tuple[date, date], ...]
    """Closed intervals in which it may have been made, earliest first; empty where it does not say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unreadable:
    """A text that no scheme reads, and which of its characters to read again."""

    serial: Serial
    """Compacted."""
    cause: UnreadableCause
    scheme: SchemeId | None = None
    """The scheme that comes nearest; None for `no_scheme`."""
    field: str = ""
    """The name of the field in which it goes wrong; empty for `no_scheme`."""
    positions: tuple[int, ...] = ()
    """The characters that are wrong, or the check characters, counted from 1 in `serial`."""
    found: str = ""
    """What stands at `positions`."""
    wanted: str = ""
    """For `check_character` what the others ask for; for `field` what can stand at the first position."""
    suspects: tuple[int, ...] = ()
    """For `check_character`: where one common misreading, or a swap with the next, would mend it."""

    @property
    def read_first(self) -> tuple[int, ...]:
        """The characters to look at first, as every answer names them."""
        return self.suspects or self.positions
