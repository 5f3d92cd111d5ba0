"""The question of fit, as a document and as one flat line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.schemas.closed import Assume, Questions, StatedBinding, StatedCondition
from service.api.schemas.fields import (
    Amounts,
    Choice,
    Day,
    Flag,
    Group,
    In,
    Moment,
    Several,
    Text,
    Unread,
    Whole,
)
from service.domain.facts.question import MAX_BOARDS
from service.domain.terms import Means

MAX_BATCH = 1_000
MAX_ACCESSORIES = 32


SERIAL = "Its serial, as read from the label: case, spaces and dashes don't matter."
PART = "Its order number."
ROLE = "The role it is for (main, panel, …)."
PLACE = "The place, where the role has several equal ones (left, right)."
BINDING = "Its binding, as somebody says or as it was read."
BOUND_MODEL = "The model that it was programmed for."
RELEASE = "The software release on it, as the tool shows it."
HOLDS = "The unit serial that it holds; an empty text where it holds none."


def _binding_faults(statement: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    binding, model = statement.get("binding"), statement.get("bound_model")
    if binding is StatedBinding.BOUND and model is None:
        yield "bound_model", 'is missing: bound says nothing without its model; give it, or say "used"'
    if binding in (StatedBinding.BLANK, StatedBinding.USED) and model is not None:
        yield "bound_model", f'goes with "bound" and not with "{binding}": leave one of them out'
    if binding is StatedBinding.BLANK and statement.get("holds"):
        yield "holds", "a blank board holds no unit serial: leave one of them out"


class Reading(In):
    """What the programming tool read from the board. It decides against a claim."""

    part = Text(metadata={"description": PART, "example": "MN-4100"})
    binding = Choice(StatedBinding, metadata={"description": BINDING})
    bound_model = Text(metadata={"description": BOUND_MODEL, "example": "plover-60"})
    holds = Text(may_be_empty=True, metadata={"description": HOLDS})
    release = Text(longest=255, metadata={"description": RELEASE, "example": "1.1.0"})

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        return _binding_faults(data)


class Claim(Reading):
    """What somebody says of the board. An answer that rests on it says so."""

    condition = Choice(StatedCondition, metadata={"description": "Its condition."})
    introduced = Flag(
        metadata={
            "description": "Whether it was introduced to the naming board beside it in the resulting set."
        }
    )


class ProposedBoard(In):
    """A board that is proposed for the unit: by serial, by part, or by role."""

    serial = Text(metadata={"description": SERIAL})
    part = Text(metadata={"description": PART, "example": "MN-4100"})
    role = Text(metadata={"description": ROLE, "example": "main"})
    place = Text(metadata={"description": PLACE, "example": "left"})
    claimed = Group(Claim, metadata={"description": "What somebody says of it."})
    read = Group(Reading, metadata={"description": "What was read from it."})
    introduced = Flag(metadata={"description": "The same as `claimed.introduced`."})

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        return _board_faults(data)


class FittedBoard(ProposedBoard):
    """A board that sits in the unit, or a place that is empty."""

    empty = Flag(metadata={"description": "true: no board is in that place."})

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        yield from super().faults(data)
        if data.get("empty"):
            for name in ("serial", "part", "claimed", "read", "introduced"):
                if name in data:
                    yield name, "an empty place holds no board: leave this or `empty` out"
            if "role" not in data:
                yield "role", "is missing: say which place is empty"


class UnitReport(In):
    """What the unit's main board reports of itself."""

    model = Text(metadata={"description": "The model it reports.", "example": "plover-40"})
    serial = Text(metadata={"description": "The unit serial it reports."})


class UnitNamed(In):
    """Which unit it is, as far as it is known."""

    serial = Text(metadata={"description": "The serial on its plate: case, spaces and dashes don't matter."})
    model = Text(metadata={"description": "The model, as the caller says.", "example": "plover-40"})
    papers_model = Text(metadata={"description": "The model, as its papers say.", "example": "plover-40"})
    market = Text(metadata={"description": "Where it is used.", "example": "mainland"})
    made_on = Day(metadata={"description": "The day on which it was made.", "example": "2024-05-31"})
    read = Group(UnitReport, metadata={"description": "What its main board reports."})


class UnitStatement(UnitNamed):
    """The unit, as far as it is known."""

    boards = Several(
        Group(FittedBoard),
        most=MAX_BOARDS,
        metadata={"description": "Boards that sit in it; others are as recorded, else as `assume` says."},
    )
    accessories = Amounts(
        most=MAX_ACCESSORIES,
        keys=Text(),
        values=Whole(least=0, most=1_000),
        metadata={
            "description": "Accessories that are connected, with how many.",
            "example": {"battery_pack": 1},
        },
    )


def an_assumption(description: str) -> Choice:
    """What is taken for granted of what nobody speaks of."""
    return Choice(Assume, load_default=Assume.USUAL, metadata={"description": description})


def some_means(description: str) -> Choice:
    """What the one who asks has at hand, and so whom the answer is for."""
    return Choice(Means, load_default=Means.COUNTER, metadata={"description": description})


class FitQuestion(In):
    """Can these boards go into that unit? What is not said is as recorded, else assumed, else unknown."""

    unit = Group(UnitStatement, metadata={"description": "The unit."})
    boards = Several(
        Group(ProposedBoard),
        most=MAX_BOARDS,
        metadata={"description": "The proposed boards; what is not proposed stays. None: the unit as it is."},
    )
    assume = an_assumption("What is taken for granted; the answer lists it.")
    means = some_means("What the caller has at hand to find a fact out, for what is asked back.")
    questions = Choice(
        Questions,
        load_default=Questions.NEXT,
        metadata={"description": "How many questions to ask back."},
    )
    as_of = Moment(
        metadata={
            "description": "Answer from what was recorded by then. Not in the future.",
            "example": "2026-01-01T00:00:00Z",
        }
    )


class FitQuestions(In):
    """Many questions, answered from one catalogue revision, in their order."""

    questions = Several(
        Unread(metadata={"description": "A question, as for POST /v1/fit-checks. Its faults are its own."}),
        least=1,
        most=MAX_BATCH,
        required=True,
        metadata={"description": "The questions."},
    )


class FitQuery(In):
    """The same question in one line, for one board."""

    board = Text(metadata={"description": "The board's serial. Give it, or `part`, or `role`."})
    unit = Text(metadata={"description": "The serial on the unit's plate."})
    model = Text(metadata={"description": "The unit's model, as the caller says.", "example": "plover-40"})
    part = Text(metadata={"description": "The board's order number.", "example": "MN-4100"})
    role = Text(metadata={"description": ROLE, "example": "main"})
    place = Text(metadata={"description": PLACE, "example": "left"})
    binding = Choice(StatedBinding, metadata={"description": BINDING})
    bound_model = Text(metadata={"description": BOUND_MODEL, "example": "plover-60"})
    market = Text(metadata={"description": "Where the unit is used.", "example": "mainland"})
    made_on = Day(metadata={"description": "The day on which the unit was made.", "example": "2024-05-31"})
    assume = an_assumption("What is taken for granted; the answer lists it.")
    means = some_means("What the caller has at hand to find a fact out.")
    as_of = Moment(
        metadata={"description": "Answer from what was recorded by then.", "example": "2026-01-01T00:00:00Z"}
    )

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        if not any(name in data for name in ("board", "part", "role")):
            yield "board", "is missing: name the board by its serial, or give part or role"
        yield from _binding_faults(data)


def _board_faults(board: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    claimed = board.get("claimed", {})
    named = any(name in board for name in ("serial", "part", "role"))
    if not named and not any("part" in board.get(name, {}) for name in ("claimed", "read")):
        yield "serial", "is missing: name the board by serial, part or role"
    for name in ("part", "introduced"):
        if name in board and name in claimed and board[name] != claimed[name]:
            yield name, f"differs from claimed/{name}: say it once"
