"""Parts: what is asked and what is shown."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.common import (
    Money,
    Paged,
    a_flag,
    a_number,
    a_number_by_name,
    a_text,
    an,
    some,
    some_texts,
    the_next_cursor,
    the_revision,
)
from service.api.schemas.fields import Choice, Out, Text
from service.domain.terms import BindingPolicy

ROLE = {"description": "Only parts of this role.", "example": "main"}
FUNCTION = {
    "description": "What stopped working, by id or name; several separated by commas. Finds the boards that "
    "carry "
    "it; faults that have a connection in common name that board and cable first (`look_first`).",
    "example": "tilt sensing",
}


class PartsQuery(Paged):
    """Filters of a part look-up; together they narrow it."""

    model = Text(metadata={"description": "Only parts that may go into this model.", "example": "plover-40"})
    market = Text(metadata={"description": "Only parts for this market.", "example": "mainland"})
    role = Text(metadata=ROLE)
    function = Text(longest=400, metadata=FUNCTION)
    number = Text(
        metadata={
            "description": "An order number, or a number printed on the board. Case, spaces and dashes "
            "don't matter.",
            "example": "MN-4100",
        }
    )


class ReplacementOut(Out):
    """A part whose place this one takes."""

    part = a_text("The older part.", longest=64, example="PN-2100")
    both_ways = a_flag("Whether the older one may also still be used in place of this one.")
    models = some_texts("Only for these models; absent: for all.", required=False)


class ListedForOut(Out):
    """One model that the part may go into. At most one break: on the plate serial or the date of making."""

    model = a_text("The model.", longest=64, example="plover-40")
    through = a_text(
        "The part that is listed: this one, or an older one whose place it takes.",
        longest=64,
        example="MN-4100",
    )
    serial_from = a_text("The first plate serial that counts.", longest=64, required=False)
    serial_before = a_text("The first plate serial that no longer counts.", longest=64, required=False)
    date_from = fields.Date(metadata={"description": "The first day of making that counts."})
    date_before = fields.Date(metadata={"description": "The first day of making that no longer counts."})


class CompanionOut(Out):
    """What else a swap takes."""

    number = a_text("Its number.", longest=64, example="SL-0410")
    name = a_text("What it is.", example="chassis seal")
    price = an(Money, "Its price.", required=False)


class PartOut(Out):
    """What can be ordered."""

    number = a_text("The order number.", longest=64, example="MN-4100")
    name = a_text("What it is.", example="main board")
    role = a_text("Its role.", longest=64, example="main")
    role_name = a_text("The role's name.", example="main board")
    binding = Choice(
        BindingPolicy,
        required=True,
        metadata={"description": "What the board does with the unit's identity, permanently."},
    )
    superseded = a_flag("Whether a newer part took its place: order one of `current`.")
    current = some_texts("The number to order today: the end of the replacement chain.")
    replaces = some(ReplacementOut, "Whose place it takes.")
    replaced_by = some_texts("Who took its place.")
    printed = some_texts("Numbers printed on the board, where they differ from the order number.")
    features = a_number_by_name("Hardware on the board: 1 for having it, else how much.")
    markets = some_texts("Where it is sold.")
    listed_for = some(ListedForOut, "Where it may go.")
    goes_with = some(CompanionOut, "What else a swap takes.")
    price = an(Money, "Its price.", required=False)
    lead_days = a_number("Days until it is here.", required=False, most=10_000)
    release = a_text("The software that a new one arrives with.", longest=64, required=False)


class PartAnswer(PartOut):
    """One part, and the revision that says so."""

    catalogue_revision = the_revision()


class FunctionOut(Out):
    """A function, and the role whose board carries it."""

    id = a_text("The id.", longest=64, example="tilt_sensing")
    name = a_text("The name.", example="tilt sensing")
    role = a_text("The role whose board carries it.", longest=64, example="main")
    board = a_text("The name of that board.", example="main board")


class LookFirst(Out):
    """The board and cable that several faults have in common."""

    role = a_text("The board to look at first.", longest=64, example="panel")
    name = a_text("Its name.", example="panel board")
    cable = a_text(
        "The cable into it that they share, where it is one.", required=False, example="ribbon cable"
    )


class PartPage(Out):
    """A page of parts: those of a shared board first, then by the faults as asked, then by number."""

    look_first = an(
        LookFirst, "What several faults have in common; absent where they have nothing.", required=False
    )
    functions = some(FunctionOut, "What was asked for in `function`, each with the role that carries it.")
    items = fields.List(fields.Nested(PartOut), required=True, metadata={"maxItems": 100})
    next_cursor = the_next_cursor()
    catalogue_revision = the_revision()
