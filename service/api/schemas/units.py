"""Units and boards as they are known."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.answer import (
    AskOut,
    AssumedOut,
    CautionOut,
    ClearancesOut,
    ReasonOut,
    WorkOut,
    WouldFitIf,
    a_basis,
    abilities,
)
from service.api.schemas.answer import clearance as a_clearance
from service.api.schemas.closed import PlaceState
from service.api.schemas.common import (
    a_flag,
    a_number,
    a_number_by_name,
    a_text,
    an,
    an_or_null,
    some,
    some_texts,
    the_revision,
)
from service.api.schemas.fields import Choice, In, Out, Text
from service.api.schemas.parts import FUNCTION, ROLE, FunctionOut, LookFirst, PartOut
from service.api.schemas.question import some_means
from service.api.schemas.refusal import IfItRefuses
from service.api.schemas.serials import DecodedOut, Span
from service.domain.terms import Condition
from service.usecases.units import Agreement


def a_version() -> fields.Integer:
    """The version of a board or unit, to be sent back where something is written."""
    return a_number(
        "How many events speak of it; absent where nothing is recorded. It is sent back in `expected` "
        "where something is recorded that rests on it.",
        required=False,
    )


class UnitIdentity(Out):
    """Which unit it is."""

    serial = a_text("Its plate serial, compacted.", longest=64)
    recorded = a_flag("Whether the ledger knows it.")
    decoded = an(DecodedOut, "What its serial says of itself.", required=False)
    models = some_texts("The models it may be. Empty: any.")
    identity_conflict = a_flag("Whether what is known of its identity excludes each other.")
    market = a_text("Where it is used.", longest=64, required=False, example="mainland")
    made = some(Span, "When it was made.", required=False)
    in_service = fields.Boolean(
        metadata={
            "description": "Registered, and not dismantled, scrapped or converted; absent where not recorded."
        }
    )
    version = a_version()


class UnitBoard(Out):
    """One place of the unit and the board in it."""

    role = a_text("The role.", longest=64, example="bumper")
    place = a_text("The place, where the role has several.", longest=64, required=False, example="left")
    name = a_text("The role's name.", example="bumper board")
    where = a_text("Where it sits.", longest=500)
    recognise = a_text("How to recognise it from outside, without opening the unit.", longest=500)
    state = Choice(PlaceState, required=True, metadata={"description": "What is recorded of it."})
    parts = some_texts("The parts it may be.")
    serial = a_text("The board's serial.", longest=64, required=False)
    bindings = some_texts("What it may be bound to: model ids, or blank.", required=False)
    basis = a_basis()


class UnitQuery(In):
    """Whom the answer is for."""

    means = some_means("What the one who asks has at hand. A customer is given no bench steps.")


class UnitAnswer(UnitIdentity):
    """One unit: decoded, recorded, its boards by role, what it can do, and whether its boards agree."""

    agreement = Choice(Agreement, required=True, metadata={"description": "Whether its boards agree."})
    summary = a_text("The same in words that can be read to a customer.", longest=2_000)
    boards = some(UnitBoard, "Its places and boards.", most=256)
    capabilities = abilities("What it can do, as it is.")
    accessories = a_number_by_name("Accessories recorded as fitted.", most=1_000_000)
    programming = an(WorkOut, "What puts it right, where programming does.")
    reasons = some(ReasonOut, "What was found.")
    clearance = an(ClearancesOut, "Whether anything is held.")
    assumed = some(AssumedOut, "What was taken for granted.")
    ask = an_or_null(AskOut, "The fact to find out next, if any.")
    would_fit_if = some(WouldFitIf, "Places whose board stands in the way.", most=256)
    if_it_refuses = an(
        IfItRefuses,
        "What to think of when it refuses to run; absent for a unit that is recorded as out of service.",
        required=False,
    )
    cautions = some(CautionOut, "What to look out for.", most=100)
    rests_on = a_basis()
    catalogue_revision = the_revision()


class UnitPartsQuery(In):
    """Filters of the parts of a unit."""

    role = Text(metadata=ROLE)
    function = Text(longest=400, metadata=FUNCTION)


class UnitPartOut(PartOut):
    """A part that the unit takes, or may take."""

    certain = a_flag(
        "Whether the unit surely takes it; false where a break, the model or the market is not known."
    )


class UnitParts(Out):
    """The parts for one unit: a shared board's first, then by the faults as asked, the certain ones first."""

    unit = an(UnitIdentity, "The unit.")
    look_first = an(
        LookFirst, "What several faults have in common; absent where they have nothing.", required=False
    )
    functions = some(FunctionOut, "What was asked for in `function`, each with the role that carries it.")
    items = some(UnitPartOut, "The parts.")
    catalogue_revision = the_revision()


class BoardPart(Out):
    """A part that the board may be."""

    number = a_text("The order number.", longest=64, example="MN-4100")
    name = a_text("What it is.", example="main board")
    role = a_text("Its role.", longest=64, example="main")


class FittedIn(Out):
    """Where a board is recorded to sit."""

    unit = a_text("The unit's serial.", longest=64)
    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)


class BoardAnswer(Out):
    """One board: what its label says, and what is recorded of it."""

    serial = a_text("Its serial, compacted.", longest=64)
    recorded = a_flag("Whether the ledger knows it.")
    decoded = an(DecodedOut, "What its serial says of itself.")
    parts = some(BoardPart, "The parts it may be.")
    clearance = a_clearance("Whether anything is held against it.")
    version = a_version()
    conditions = fields.List(
        Choice(Condition),
        metadata={
            "description": "Its condition as recorded; several: it may be any of them.",
            "maxItems": 10,
        },
    )
    in_custody = fields.Boolean(metadata={"description": "Whether it is recorded to be in the shop."})
    tested = fields.Boolean(
        metadata={"description": "Whether it passed a test since it was last exposed, or in other hands."}
    )
    sold = fields.Boolean(metadata={"description": "Whether it was sold, as recorded."})
    release = a_text("Its software release, as recorded.", longest=64, required=False, example="1.1.0")
    bound_models = some_texts("The models that it may be bound to, permanently, as recorded.", required=False)
    may_be_blank = fields.Boolean(metadata={"description": "Whether it may still be blank, as recorded."})
    contradiction = fields.Boolean(
        metadata={"description": "Whether records of its binding contradict each other."}
    )
    holds = a_text("The unit serial that it holds; empty: none.", longest=64, required=False)
    fitted_in = an(FittedIn, "The unit that it is recorded to sit in.", required=False)
    catalogue_revision = the_revision()
