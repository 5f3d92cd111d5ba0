"""A unit that refuses to run: what it probably is, where to look, what puts it right."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.answer import CautionOut, Minutes
from service.api.schemas.codes import told
from service.api.schemas.common import a_text, an, some
from service.api.schemas.fields import Choice, Out
from service.domain.fit.refusing import RefusalCause
from service.domain.terms import Who
from service.words.refusal_texts import LOOK_MEANINGS
from service.words.refusal_texts import MEANINGS as MEND_MEANINGS


class LookAtOut(Out):
    """A board to look at, or a board with the cable that it hangs on."""

    role = a_text("The role.", longest=64, example="panel")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    name = a_text("The role's name.", example="panel board")
    where = a_text("Where it sits.", longest=500)
    code = a_text(
        f"Why to look at it: a reason's code, or one of these. More codes may come. {told(LOOK_MEANINGS)}",
        longest=64,
        example="cable",
    )
    cable = a_text("The cable.", longest=200, required=False, example="ribbon cable")
    through = a_text("The role of the board at its other end.", longest=64, required=False, example="main")
    text = a_text("The same in words.", longest=1_000)


class MendBoard(Out):
    """A place where a board has to be changed or fitted."""

    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    candidates = a_text(
        "Where the boards in stock for it are found; for callers that may read the stock.",
        longest=400,
        required=False,
        example="/v1/units/TMPL224000188/candidates?role=main",
    )


class MendOut(Out):
    """What puts it right."""

    code = a_text(f"What it is. More codes may come. {told(MEND_MEANINGS)}", longest=64, example="program")
    text = a_text("The same in words.", longest=2_000)
    boards = some(MendBoard, "The boards that have to be changed or fitted.", most=256)
    who = fields.List(
        Choice(Who),
        required=True,
        metadata={
            "description": "Who does it, what the owner sets up again afterwards aside. Empty: not known.",
            "maxItems": 10,
        },
    )
    minutes = an(Minutes, "Bench minutes in all; absent where no papers say.", required=False)


class IfItRefuses(Out):
    """What to think of, and what to do, when the unit refuses to run."""

    cause = Choice(RefusalCause, required=True, metadata={"description": "The first to be dealt with."})
    causes = fields.List(
        Choice(RefusalCause),
        required=True,
        metadata={"description": "All that is found, in the order of work.", "maxItems": 10},
    )
    text = a_text("What it probably is, in words.", longest=1_000)
    look_at = some(
        LookAtOut,
        "Where to look, in that order. Empty where it stays closed: for a customer, or while it is held.",
        most=256,
    )
    mend = an(MendOut, "What puts it right.")
    cautions = some(CautionOut, "What to look out for while it is done.", most=100)
