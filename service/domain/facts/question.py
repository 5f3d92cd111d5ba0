"""The question as it is asked: what the caller states of a unit and of the boards for it."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

from service.domain.terms import MarketId, Means, ModelId, PartNumber, RoleId

MAX_BOARDS = 16
"""At most so many boards a question, proposed and stated ones together."""


class Statement(NamedTuple):
    """What one witness says of one board: the caller's claim, or a reading with the programming tool."""

    part: PartNumber | None = None
    binding: str | None = None
    """`blank`, `used` (bound to something) or `bound`."""
    bound_model: ModelId | None = None
    holds: str | None = None
    """The unit serial that it holds; empty for none."""
    condition: str | None = None
    """`usable`, `maybe_exposed`, `exposed`, `failed` or `scrapped`."""
    introduced: bool | None = None
    """For a follower: introduced to the naming board beside it in the resulting set."""
    release: str | None = None
    """The name of the software release on it."""


NOTHING_STATED = Statement()


class StatedBoard(NamedTuple):
    """A board of the question, by serial or described, or a place stated to be empty."""

    serial: str | None = None
    role: RoleId | None = None
    place: str | None = None
    empty: bool = False
    claimed: Statement = NOTHING_STATED
    read: Statement = NOTHING_STATED

    @property
    def silent(self) -> bool:
        """Whether no witness says anything of it, so that the record and the label speak alone."""
        return self.claimed is NOTHING_STATED and self.read is NOTHING_STATED

    @property
    def second_hand(self) -> bool:
        """Whether some witness says that it was programmed, for a model that nobody knows."""
        return any(word.binding == "used" and word.bound_model is None for word in (self.claimed, self.read))


class StatedUnit(NamedTuple):
    """The unit of the question."""

    serial: str | None = None
    """The plate."""
    model: ModelId | None = None
    """The caller's declaration."""
    papers_model: ModelId | None = None
    read_model: ModelId | None = None
    """What its main board reports."""
    read_serial: str | None = None
    market: MarketId | None = None
    made_on: date | None = None
    boards: tuple[StatedBoard, ...] = ()
    """Boards that sit in it."""
    accessories: tuple[tuple[str, int], ...] = ()
    """Those that are connected, with how many of each."""


class Question(NamedTuple):
    """What is asked: can these boards go into that unit."""

    unit: StatedUnit = StatedUnit()
    boards: tuple[StatedBoard, ...] = ()
    """The proposed boards; what is not proposed stays."""
    assume: bool = True
    """Take untouched places to hold their factory boards."""
    means: Means = Means.COUNTER
    every_question: bool = False
    """Answer with the whole chain of questions, not only the next."""
    as_of: datetime | None = None


class ImpossibleQuestion(ValueError):
    """The question cannot be put: where it is wrong, a stable code, and what would mend it."""

    def __init__(self, code: str, pointer: str, **facts: str) -> None:
        super().__init__(f"{code} at {pointer}")
        self.code = code
        self.pointer = pointer
        """JSON Pointer into the question document."""
        self.facts = facts
