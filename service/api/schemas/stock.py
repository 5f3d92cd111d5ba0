"""Where a board can go, and which boards in stock can go somewhere."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.answer import ClearancesOut, Minutes
from service.api.schemas.answer import clearance as a_clearance
from service.api.schemas.codes import told
from service.api.schemas.common import (
    Money,
    Paged,
    a_flag,
    a_text,
    an,
    some,
    some_texts,
    the_next_cursor,
    the_revision,
)
from service.api.schemas.fields import Choice, Out, Text
from service.api.schemas.units import BoardPart, FittedIn, UnitIdentity
from service.domain.terms import Condition, Outcome, Programming, Who
from service.store.stock import Bound
from service.usecases.unidentified import LOOKED_AT, SHOWN
from service.words.reason_texts import MEANINGS as REASON_MEANINGS


class ShortWork(Out):
    """Whether anything has to be programmed, and by whom; the whole plan is told by a fit check."""

    needed = Choice(Programming, required=True, metadata={"description": "Whether the tool is needed."})
    who = fields.List(
        Choice(Who),
        required=True,
        metadata={
            "description": "Who may do what takes the programming tool. Empty: nothing does, or it is open.",
            "maxItems": 10,
        },
    )
    minutes = an(Minutes, "Bench minutes in all; absent where there is no plan.", required=False)


class ShortReason(Out):
    """A deciding reason: why it does not fit, or what it needs there."""

    code = a_text(
        f"What was found. More codes may come. {told(REASON_MEANINGS)}",
        longest=64,
        example="takes_model_permanently",
    )
    role = a_text("The role it is about; absent for the unit itself.", longest=64, required=False)
    place = a_text("The place, where the role has several.", longest=64, required=False)
    certain = a_flag("Whether it holds in every case that is still possible.")
    text = a_text("The same in words.", longest=1_000)


class ShortAnswer(Out):
    """The answer to a question of fit in short."""

    outcome = Choice(Outcome, required=True, metadata={"description": "The answer."})
    summary = a_text("The answer in words that can be read to a customer.", longest=2_000)
    programming = an(ShortWork, "What has to be programmed.")
    reasons = some(ShortReason, "The deciding reasons: of a no, or what the board needs there.", most=1_000)


class ModelDestination(ShortAnswer):
    """A model that a part of the board's number is listed for."""

    model = a_text("The model.", longest=64, example="plover-40")
    name = a_text("Its name.", example="Plover 40")


class UnitDestination(ShortAnswer):
    """A unit in service that is recorded as waiting for a board of that role."""

    unit = a_text("Its plate serial.", longest=64)
    models = some_texts("The models it may be. Empty: any.")
    role = a_text("The role that is empty.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    clearance = an(ClearancesOut, "Whether anything is held.")


class DestinationsQuery(Paged):
    """For which market, and which page of the units."""

    market = Text(
        metadata={
            "description": "The market of the models; left out: any. Units have their own.",
            "example": "mainland",
        }
    )


class BoardDestinations(Out):
    """Where a board can go."""

    serial = a_text("Its serial, compacted.", longest=64)
    recorded = a_flag("Whether the ledger knows it.")
    summary = a_text("What stands in the way of using it at all, then where it can go.", longest=2_000)
    parts = some(BoardPart, "The parts it may be.")
    clearance = a_clearance("Whether anything is held against it.")
    sold = fields.Boolean(metadata={"description": "Whether it was sold, as recorded."})
    conditions = fields.List(
        Choice(Condition),
        metadata={
            "description": "Its condition as recorded; several: it may be any of them.",
            "maxItems": 10,
        },
    )
    fitted_in = an(FittedIn, "The unit that it is recorded to sit in.", required=False)
    models = some(
        ModelDestination, "Every model that its part is listed for, on every page: where it works first."
    )
    units = some(UnitDestination, "A page of the units that wait for a board of its role.", most=100)
    next_cursor = the_next_cursor()
    catalogue_revision = the_revision()


BOUND = {
    Bound.THIS_UNIT: "it holds the serial of this very unit",
    Bound.MODEL: "it was programmed for the unit's model, permanently",
    Bound.BLANK: "it was never programmed",
    Bound.ANYTHING: "boards of its part take on nothing of a unit",
    Bound.NOT_KNOWN: "what it was programmed for, if anything, is not known",
}


class CandidatesQuery(Paged):
    """For which place of the unit, and which page."""

    role = Text(
        required=True, metadata={"description": "The role that a board is wanted for.", "example": "main"}
    )
    place = Text(
        metadata={
            "description": "The place, where the role has several; left out: an empty one, else the first.",
            "example": "left",
        }
    )


class CandidateOut(ShortAnswer):
    """A board in stock that may go there."""

    serial = a_text("Its serial.", longest=64)
    part = an(BoardPart, "Its part.")
    bound = a_text(
        f"How it stands to the unit. {told({str(each): text for each, text in BOUND.items()})}",
        longest=64,
        example="blank",
    )
    tested = a_flag("Whether it passed a test since it was last exposed, or in other hands.")
    price = an(
        Money,
        "What the catalogue asks for such a board: as a used one where it was programmed, else as a new one. "
        "What is charged is told by a sale check. Absent: no price is listed.",
        required=False,
    )
    release = a_text("Its software release, as recorded.", longest=64, required=False, example="1.1.0")
    clearance = an(ClearancesOut, "Whether anything is held.")


class UnidentifiedOut(ShortAnswer):
    """A board in stock that may go there, if it is of the right part."""

    serial = a_text("Its serial.", longest=64)
    parts = some(BoardPart, "The parts for that place that its label may stand for.")
    tested = a_flag("Whether it passed a test since it was last exposed, or in other hands.")
    clearance = an(ClearancesOut, "Whether anything is held.")


class Candidates(Out):
    """Boards in stock for one place of a unit, the best first: by `bound`, tested ones, price, serial."""

    unit = an(UnitIdentity, "The unit.")
    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    summary = a_text("What is said where there is none: why.", longest=2_000, required=False)
    items = some(CandidateOut, "A page of them.", most=100)
    unidentified = some(
        UnidentifiedOut,
        "With the last page: boards of which nobody wrote down which part they are, where the label may "
        f"stand for one for that place. At most {SHOWN}, of the first {LOOKED_AT} without a part.",
        most=SHOWN,
    )
    next_cursor = the_next_cursor()
    catalogue_revision = the_revision()
