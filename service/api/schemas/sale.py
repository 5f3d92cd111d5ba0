"""The question at the till, its answer, and the sale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import fields

from service.api.schemas.answer import CautionOut, ClearancesOut, FitAnswer
from service.api.schemas.codes import told
from service.api.schemas.common import (
    a_flag,
    a_number,
    a_text,
    an,
    an_or_null,
    some,
    some_texts,
    texts_by_name,
    the_revision,
)
from service.api.schemas.fields import Choice, Flag, Group, In, Moment, Out, Several, Text
from service.api.schemas.problem import ProblemOut
from service.api.schemas.question import (
    PART,
    PLACE,
    ROLE,
    SERIAL,
    Claim,
    Reading,
    UnitStatement,
)
from service.domain.quote.quoting import LineKind, Prices
from service.domain.sale.check import Decision
from service.domain.sale.question import Asked
from service.domain.sale.warranty import WarrantyState
from service.words.sale_texts import MEANINGS

MOST_CONDITIONS = 32
LINE_KINDS: Mapping[str, str] = {
    LineKind.PART: "the board",
    LineKind.COMPANION: "what goes with a swap",
    LineKind.ACCESSORY: "an accessory",
    LineKind.SERIAL: "a serial that the maker issues for the machine",
    LineKind.PROGRAMMING: "the programming",
    LineKind.LABOUR: "bench minutes, at most",
}

SPOKEN = a_text("The language that its texts are kept in (BCP 47).", longest=35, example="en")


def an_amount(description: str, *, required: bool = True) -> fields.String:
    """A decimal in the quote's currency."""
    return a_text(
        description, longest=24, required=required, pattern="^[0-9]+(\\.[0-9]+)?$", example="129.00"
    )


class SoldBoard(In):
    """The board: one in hand, so it has a serial."""

    serial = Text(required=True, metadata={"description": SERIAL})
    part = Text(metadata={"description": PART, "example": "MN-4100"})
    role = Text(metadata={"description": ROLE, "example": "main"})
    place = Text(metadata={"description": PLACE, "example": "left"})
    claimed = Group(Claim, metadata={"description": "What somebody says of it."})
    read = Group(Reading, metadata={"description": "What was read from it."})


class SaleCheckQuestion(In):
    """May we sell this board to this customer; for a board that is brought, do we take the job."""

    board = Group(SoldBoard, required=True, metadata={"description": "The board."})
    unit = Group(
        UnitStatement,
        metadata={"description": "The customer's machine, as far as it is known. Absent: none is named."},
    )
    market = Text(
        metadata={
            "description": "Where it is sold. Absent: where the machine is used, or the only market.",
            "example": "mainland",
        }
    )
    brought = Flag(
        load_default=False,
        metadata={"description": "true: the customer brings the board and wants it programmed."},
    )
    asked = Several(
        Choice(Asked),
        most=len(Asked),
        metadata={"description": "What the seller has cleared up already: the customer pays all the same."},
    )
    as_of = Moment(
        metadata={
            "description": "Answer from what was recorded by then; such an answer is not sold on. Not in the "
            "future.",
            "example": "2026-01-01T00:00:00Z",
        }
    )


class GroundOut(Out):
    """A ground of the decision, or a condition that comes with it."""

    code = a_text(f"Which. More codes may come. {told(MEANINGS)}", longest=64, example="warranty_open")
    facts = texts_by_name("Its facts by name, each with its values.")
    text = a_text("For the staff.", longest=2_000)
    customer_text = a_text(
        "For the customer; absent where only the first sentence is said.", longest=2_000, required=False
    )


class LineOut(Out):
    """One line to charge."""

    kind = a_text(f"What it is for. More may come. {told(LINE_KINDS)}", longest=64, example="part")
    number = a_text("The order number; absent for work.", longest=64, required=False, example="MN-4100")
    text = a_text("The same in words.", longest=300)
    quantity = a_number("How much of it.", most=1_000_000)
    unit_price = an_amount("The price of `per` of it.")
    per = a_number(
        "The quantity that the unit price is for: 60 where minutes are charged by the hour.", most=1_000
    )
    amount = an_amount("Quantity times unit price, rounded half up to the minor unit, once.")
    tax = an_amount("The tax on this amount, or in it.")


class TaxOut(Out):
    """The tax."""

    rate = a_text("In percent.", longest=8, example="19")
    prices = Choice(Prices, required=True, metadata={"description": "Whether amounts have it in them."})
    amount = an_amount("The sum of the lines' taxes.")


class QuoteOut(Out):
    """What it costs."""

    currency = a_text("ISO 4217.", longest=3, example="EUR")
    lines = some(LineOut, "The lines.", most=100)
    total = an_amount("The sum of the lines' amounts.")
    tax = an(TaxOut, "The tax.")
    to_pay = an_amount("The total with the tax.")
    lead_days = a_number(
        "Days until all of it can be had; absent where that is not known.", required=False, most=10_000
    )
    valid_until = fields.Date(
        required=True, metadata={"description": "The last day on which this price holds."}
    )


class WarrantyOut(Out):
    """The maker's warranty on the machine."""

    state = Choice(WarrantyState, required=True, metadata={"description": "What is known of it."})
    over_from = fields.Date(metadata={"description": "The first day on which it is surely over."})


class CampaignOut(Out):
    """A campaign of the maker that may be open."""

    id = a_text("Its id.", longest=64, example="lift-cable")
    name = a_text("Its name.", longest=200)
    text = a_text("What the shop has to know.", longest=600)


class CheckedBoard(Out):
    """The board of the question."""

    serial = a_text("Its serial, compacted.", longest=64)
    part = a_text("Its part, where it is known.", longest=64, required=False, example="MN-4100")
    used = a_flag("Whether it is sold as used.")


class CompletedOut(Out):
    """The sale that went through."""

    seq = a_number("The number of its event.")
    recorded_at = fields.AwareDateTime(required=True, metadata={"description": "When it was recorded."})


class SaleCheckOut(Out):
    """The answer of the till, kept for ever as it was given."""

    id = a_text("Its id, for fetching and completing it.", longest=64, example="sc-3f6c1d2e4b5a69780c1d2e3f")
    decision = Choice(Decision, required=True, metadata={"description": "What to do. Closed."})
    customer_text = a_text("What the customer is told.", longest=10_000)
    staff_text = a_text("What the staff has to know. Not for the customer.", longest=20_000)
    completable = a_flag("Whether the sale can be completed on this answer.")
    grounds = some(GroundOut, "Why it is not simply sold.", most=MOST_CONDITIONS)
    conditions = some(GroundOut, "What is said and agreed to with the sale.", most=MOST_CONDITIONS)
    brought = a_flag("Whether it is about a board that the customer brings.")
    board = an(CheckedBoard, "The board.")
    market = a_text("Where it is sold; absent where nothing says so.", longest=64, required=False)
    quote = an_or_null(QuoteOut, "The lines to charge; null where it is not sold or nothing is priced.")
    receipt = some_texts(
        "What is printed on the receipt. Empty where it is not sold.", longest=2_000, most=100
    )
    returns = some_texts("The terms of return. Empty where it is not sold.", longest=2_000, most=100)
    warranty = an(WarrantyOut, "The maker's warranty on the machine.")
    campaigns = some(CampaignOut, "Campaigns that may be open for it.", most=500)
    clearance = an(ClearancesOut, "Whether anything is held.")
    cautions = some(CautionOut, "What to look out for.", most=100)
    fit = an(FitAnswer, "Whether it fits, as POST /v1/fit-checks answers.")
    catalogue_revision = the_revision()
    language = SPOKEN
    made_at = fields.AwareDateTime(required=True, metadata={"description": "When it was answered."})
    as_of = fields.AwareDateTime(metadata={"description": "The moment that was asked about; absent: now."})


class KeptSaleCheck(SaleCheckOut):
    """The same, with what became of it."""

    completed = an_or_null(CompletedOut, "The sale that it led to; null where there is none.")


class SaleCompletion(In):
    """Going through with the sale."""

    accepted = Several(
        Text(),
        most=MOST_CONDITIONS,
        metadata={"description": "The codes of the conditions that the customer agreed to: all of them."},
    )
    customer = Text(
        metadata={
            "description": "A reference of your own for the customer. Opaque: never a name, an address or "
            "other personal data.",
            "example": "till-4711",
        }
    )


class Receipt(Out):
    """The sale, as it is printed for the customer."""

    check = a_text("The id of the check.", longest=64)
    completed = an(CompletedOut, "The sale.")
    board = an(CheckedBoard, "The board.")
    language = SPOKEN
    quote = fields.Nested(QuoteOut, required=True, metadata={"description": "The lines that were charged."})
    receipt = some_texts("What is printed with them.", longest=2_000, most=100)
    returns = some_texts("The terms of return.", longest=2_000, most=100)


class ChangeOut(Out):
    """One thing that is not as it was told."""

    what = a_text("`decision`, `price`, or the code of a condition.", longest=64, example="decision")
    was = a_text("As it was told; absent where there was none.", longest=1_000, required=False)
    now = a_text("As it is now; absent where there is none.", longest=1_000, required=False)


class SaleConflictOut(ProblemOut):
    """Nothing was sold: what is not as it was told, and what a new check would say."""

    decision = Choice(
        Decision, metadata={"description": "What a new check would say; else what this one said."}
    )
    changed = some(ChangeOut, "What is not as it was told.", required=False, most=100)


def document(sent: Mapping[str, Any]) -> dict[str, Any]:
    """A question that passed `SaleCheckQuestion`, as JSON values that pass it again."""
    found: dict[str, Any] = SaleCheckQuestion().dump(sent)
    return found
