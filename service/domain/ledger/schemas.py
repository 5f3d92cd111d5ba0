"""The fields of each event kind.

`policy` is what the board's part does with the identity of the unit, as the catalogue in force said
when the event was recorded: an event means the same for ever, whatever is published later.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.ledger import checks
from service.domain.ledger.checks import Check
from service.domain.ledger.fields import Field, FieldTable, FieldType
from service.domain.ledger.programming import RECORDABLE
from service.domain.terms import BindingPolicy

HOLDS = ("reported_stolen", "recalled", "locked_to_owner", "owed_to_maker", "under_query")


@dataclass(frozen=True, slots=True)
class Shape:
    """Fields, and what they must be together."""

    fields: FieldTable
    checks: tuple[Check, ...] = ()


def _choice(*choices: str, required: bool = False) -> Field:
    return Field(type=FieldType.CHOICE, choices=choices, required=required)


def _must(type_: FieldType) -> Field:
    return Field(type=type_, required=True)


def _may(type_: FieldType) -> Field:
    return Field(type=type_)


_POLICY = _choice(*BindingPolicy)
_PLACED: FieldTable = {
    "role": _must(FieldType.NAME),
    "place": Field(type=FieldType.SERIAL),
    "policy": _choice(*BindingPolicy, required=True),
}
"""Where a board sits. Place is empty or left out for a role with one place."""
_MAYBE_PLACED: FieldTable = {
    "role": _may(FieldType.NAME),
    "place": Field(type=FieldType.SERIAL),
    "policy": _POLICY,
}
_READING: FieldTable = {
    "binding": _choice("blank", "used", "bound"),
    "bound_model": _may(FieldType.NAME),
    "holds": _may(FieldType.SERIAL),
}
_DESCRIBED: FieldTable = {"part": _may(FieldType.NAME), "release": _may(FieldType.NAME), **_READING}
"""`release` is the name of a release, never a position in a list that may be published anew."""
_BOARDS = Field(type=FieldType.LIST, of={"board": _must(FieldType.BOARD), **_PLACED, **_DESCRIBED})
_NAMED_UNIT = Field(type=FieldType.SERIAL)
"""A unit that is mentioned: nothing happened to it, so the event does not speak of it."""
_NAMING = Field(
    type=FieldType.BLOCK,
    of={
        "board": _must(FieldType.BOARD),
        "role": _must(FieldType.NAME),
        "place": Field(type=FieldType.SERIAL),
    },
)
_SUBJECT: FieldTable = {"board": _may(FieldType.BOARD), "unit": _may(FieldType.UNIT)}
_ONE_SUBJECT = checks.exactly_one("board", "unit")
_PLACE_NEEDS_ROLE = checks.needs("place", "role")

REGISTERED = Shape(
    {
        **_SUBJECT,
        "model": _may(FieldType.NAME),
        "market": _may(FieldType.NAME),
        "made_on": _may(FieldType.DAY),
        "boards": _BOARDS,
        **_DESCRIBED,
    },
    (
        _ONE_SUBJECT,
        *(checks.needs(name, "unit") for name in ("model", "market", "made_on", "boards")),
        *(checks.needs(name, "board") for name in _DESCRIBED),
        checks.binding_agrees,
        checks.for_each("boards", checks.binding_agrees),
        checks.boards_once,
    ),
)
"""A unit with what its plate and papers say and the boards that the factory fitted, or one board."""

RECEIVED = Shape({"board": _must(FieldType.BOARD), **_DESCRIBED}, (checks.binding_agrees,))
"""A board came into our hands."""

READ_OUT = Shape(
    {
        "board": _must(FieldType.BOARD),
        "unit": _may(FieldType.UNIT),
        **_MAYBE_PLACED,
        **_DESCRIBED,
        "introduced": _may(FieldType.FLAG),
        "naming": _NAMING,
    },
    (
        checks.binding_agrees,
        checks.needs("role", "unit", "policy"),
        checks.needs("unit", "role"),
        _PLACE_NEEDS_ROLE,
        checks.needs("introduced", "role"),
        checks.needs("naming", "introduced"),
        checks.reading_of_pair,
        checks.two_boards,
    ),
)
"""What the programming tool read from a board; with a unit and a role, while it sat there."""

FITTED = Shape(
    {
        "board": _must(FieldType.BOARD),
        "unit": _must(FieldType.UNIT),
        **_PLACED,
        "part": _may(FieldType.NAME),
        "model": _may(FieldType.NAME),
    }
)
"""A board was put into a unit. `model` is the unit's, where known: a blank board may take it on."""

REMOVED = Shape(
    {
        "board": _may(FieldType.BOARD),
        "recorded": _may(FieldType.BOARD),
        "unit": _must(FieldType.UNIT),
        **_PLACED,
        "kept": _may(FieldType.FLAG),
    },
    (checks.not_both("board", "recorded"),),
)
"""A board was taken out; without `board`, one whose serial could not be read. `recorded` is the board that
was recorded there till then: whichever came out, that one sits there no more. `kept` false: not by us."""

FOUND = Shape(
    {
        "board": _must(FieldType.BOARD),
        "was": Field(
            type=FieldType.BLOCK,
            of={
                "unit": _must(FieldType.UNIT),
                "role": _must(FieldType.NAME),
                "place": Field(type=FieldType.SERIAL),
            },
        ),
        "unit": _may(FieldType.UNIT),
        **_MAYBE_PLACED,
        "in_custody": _must(FieldType.FLAG),
    },
    (checks.needs("role", "unit", "policy"), checks.needs("unit", "role"), _PLACE_NEEDS_ROLE),
)
"""A board turned up. `was` is where it was recorded, `unit` and `role` where it sits now, if it does."""

_STEP: FieldTable = {
    "step": _choice(*RECORDABLE, required=True),
    **_SUBJECT,
    **_MAYBE_PLACED,
    "model": _may(FieldType.NAME),
    "naming": _NAMING,
}
_STEP_CHECKS = (checks.step_is_told, _PLACE_NEEDS_ROLE, checks.two_boards)
STEP = Shape(_STEP, _STEP_CHECKS)
"""A step on a board for a unit; with a role, while it sits there. `model` is the unit's."""

STEP_FINISHED = Shape({**_STEP, "release": _may(FieldType.NAME)}, _STEP_CHECKS)
"""`release` is the name of the release that was loaded."""

ACCESSORY_FITTED = Shape(
    {
        "unit": _must(FieldType.UNIT),
        "accessory": _must(FieldType.NAME),
        "amount": _must(FieldType.WHOLE),
    }
)
"""`amount`: how many of it are fitted now."""

TESTED = Shape({"board": _must(FieldType.BOARD), "passed": _must(FieldType.FLAG)})

EXPOSED = Shape(
    {
        "board": _must(FieldType.BOARD),
        "to": _choice("water", "lightning", "fire", required=True),
        "certain": _may(FieldType.FLAG),
    }
)

HOLD_PLACED = Shape({**_SUBJECT, "hold": _choice(*HOLDS, required=True)}, (_ONE_SUBJECT,))

HOLD_LIFTED = Shape(
    {
        **_SUBJECT,
        "placed": _must(FieldType.WHOLE),
        "confirmed_by": _choice("owner", "maker", required=True),
        "evidence": _must(FieldType.TEXT),
    },
    (_ONE_SUBJECT,),
)
"""`placed` is the number of the event that placed the hold."""

SALE_CHECKED = Shape(
    {
        "board": _may(FieldType.BOARD),
        "label": _may(FieldType.SERIAL),
        "unit": _NAMED_UNIT,
        "check": _must(FieldType.NAME),
    },
    (checks.exactly_one("board", "label"),),
)
"""The till asked whether the board may be sold; `check` is the answer's id, `unit` the customer's.

`label` is the serial of a board of which nothing is recorded: asking is nothing that happens to a board, and
the serial may be misread."""

SOLD = Shape(
    {
        "board": _must(FieldType.BOARD),
        "check": _may(FieldType.NAME),
        "unit": _NAMED_UNIT,
        "customer": _may(FieldType.NAME),
    },
)
"""The board went to a customer. `customer` is an opaque reference of another system: no name, no address,
nothing by which a person could be told."""

RETURNED = Shape({"board": _must(FieldType.BOARD), **_DESCRIBED}, (checks.binding_agrees,))
"""A board that we sold came back into our hands."""

SCRAPPED = Shape(_SUBJECT, (_ONE_SUBJECT,))

DISMANTLED = Shape({"unit": _must(FieldType.UNIT)})

CONVERTED = Shape(
    {
        "unit": _must(FieldType.UNIT),
        "into": _must(FieldType.UNIT),
        "model": _must(FieldType.NAME),
        "market": _may(FieldType.NAME),
        "boards": _BOARDS,
    },
    (checks.two_units, checks.for_each("boards", checks.binding_agrees), checks.boards_once),
)
"""The maker issued a serial for the machine as another model: `unit` ended, `into` is what it is now.
`boards` are those that stay in the machine."""

CORRECTED = Shape(
    {
        "withdraws": _must(FieldType.WHOLE),
        "reason": _must(FieldType.TEXT),
        "board": _may(FieldType.BOARD),
        **_READING,
    },
    (checks.binding_agrees, *(checks.needs(name, "board") for name in _READING)),
)
"""One event is withdrawn; with a board, what it was found to be in truth."""
