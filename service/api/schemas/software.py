"""The question of software (Q12) and its answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from marshmallow import fields

from service.api.schemas.answer import Minutes
from service.api.schemas.codes import told
from service.api.schemas.common import a_text, a_text_by_name, an, an_or_null, some, some_texts, the_revision
from service.api.schemas.fields import Amounts, Choice, Flag, Group, In, Out, Several, Text
from service.api.schemas.question import PART, PLACE, ROLE, SERIAL, UnitNamed, an_assumption, some_means
from service.api.schemas.upgrades import UpgradeAsk, UpgradeUnit
from service.domain.facts.question import MAX_BOARDS
from service.domain.loading.planning import LoadingOutcome
from service.domain.software.task import Aim
from service.domain.terms import Cause, Who
from service.words.software_texts import FACT_MEANINGS

MOST_ROLES = 16
RELEASE = "A release, as the tool shows it: a version by semantic versioning 2.0.0."


class BoardSoftware(In):
    """A board that sits in the machine, and what is on it."""

    role = Text(required=True, metadata={"description": ROLE, "example": "main"})
    place = Text(metadata={"description": PLACE, "example": "left"})
    serial = Text(metadata={"description": SERIAL})
    part = Text(metadata={"description": PART, "example": "MN-4100"})
    empty = Flag(metadata={"description": "true: no board is in that place."})
    release = Text(longest=255, metadata={"description": RELEASE, "example": "1.1.0"})
    silent = Flag(metadata={"description": "true: it answers nothing, as after a load that broke off."})

    def faults(self, data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
        if data.get("silent") and "release" in data:
            yield "release", "a board that answers nothing tells no release: leave one out"
        if data.get("empty"):
            for name in ("serial", "part", "release", "silent"):
                if name in data:
                    yield name, "an empty place holds no board: leave this or `empty` out"


class SoftwareQuestion(In):
    """What is known of a machine's boards, and which set of software is meant."""

    unit = Group(UnitNamed, required=True, metadata={"description": "The machine, as far as known."})
    boards = Several(
        Group(BoardSoftware),
        most=MAX_BOARDS,
        metadata={"description": "Boards in it; others are as recorded, else as `assume` says."},
    )
    goal = Choice(
        Aim,
        load_default=Aim.NEWEST,
        metadata={"description": "Which of the sets that go together is meant."},
    )
    wanted = Amounts(
        most=MOST_ROLES,
        keys=Text(metadata={"description": ROLE}),
        values=Text(longest=255, metadata={"description": RELEASE}),
        metadata={
            "description": "A set by name: the release that each of these roles is to end with.",
            "example": {"main": "2.0.0"},
        },
    )
    assume = an_assumption("What is taken for granted of boards that nobody speaks of.")
    means = some_means("Who asks: a customer is told who loads and how long, and no loads.")


class CarriedOut(Out):
    """What a board carries."""

    role = a_text("The role.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    release = a_text("The release.", longest=255, example="2.0.0")


class LoadOut(Out):
    """One load."""

    role = a_text("The role of the board.", longest=64, example="main")
    place = a_text("The place, where the role has several.", longest=64, required=False)
    over = a_text(
        "The release that is on it before; absent where it is open, or nothing answers.",
        longest=255,
        required=False,
        example="1.1.0",
    )
    release = a_text("The release that is loaded.", longest=255, example="2.0.0")
    text = a_text("The same in words.", longest=700)


class LoadingReasonOut(Out):
    """One of a smallest set of facts that together rule a plan out."""

    code = a_text(f"Which. More may come. {told(FACT_MEANINGS)}", longest=64, example="release_needs")
    facts = a_text_by_name("Its facts by name.", longest=255)
    text = a_text("The same in words.", longest=1_000)


class LoadingCaseOut(Out):
    """What is to be done in one case of the facts that are open."""

    boards = some_texts("The boards that it is about, by role.", most=64)
    when = fields.List(
        fields.Dict(
            keys=fields.String(metadata={"maxLength": 100}),
            values=fields.List(fields.String(metadata={"maxLength": 255}), metadata={"maxItems": 1_000}),
        ),
        required=True,
        metadata={
            "description": "When: any of these, each open fact with its values. A release is told by its "
            "version, or `nothing` for a board that answers nothing.",
            "maxItems": 1_000,
        },
    )
    text = a_text("The same in words, a line for each.", longest=100_000)
    outcome = Choice(LoadingOutcome, required=True, metadata={"description": "What comes of it then."})
    target = some(CarriedOut, "What the boards carry at the end, as far as it is known.", most=64)
    steps = some(LoadOut, "The loads, in order. Empty for a customer.", most=10_000)
    reasons = some(LoadingReasonOut, "For `no_plan`: a smallest set of facts that rules it out.", most=1_000)


class SoftwareAnswer(Out):
    """The answer."""

    outcome = Choice(LoadingOutcome, required=True, metadata={"description": "The answer."})
    summary = a_text("The answer in words that can be read to a customer.", longest=8_000)
    unit = an(UpgradeUnit, "The machine.")
    goal = Choice(Aim, required=True, metadata={"description": "Which set is meant."})
    target = some(
        CarriedOut, "What the boards carry at the end, where it is the same in every case.", most=64
    )
    steps = some(
        LoadOut,
        "The loads that are right whatever is on the boards, in order; those of boards for which it "
        "makes a difference stand under `cases`. Empty for a customer.",
        most=10_000,
    )
    cases = some(LoadingCaseOut, "What hangs on facts that are open, case by case.", most=10_000)
    reasons = some(LoadingReasonOut, "For `no_plan`: a smallest set of facts that rules it out.", most=1_000)
    who = fields.List(Choice(Who), required=True, metadata={"description": "Who loads.", "maxItems": 10})
    minutes = an_or_null(Minutes, "Bench minutes of the loads; null where the catalogue does not say.")
    left_out = some_texts("Roles whose releases are names alone: nobody knows what goes with them.", most=64)
    bound_exceeded = fields.Boolean(
        required=True,
        metadata={"description": "Whether there were more ways than are gone through."},
    )
    cause = Choice(Cause, metadata={"description": "For `cannot_tell`: why."})
    ask = an_or_null(UpgradeAsk, "What to find out first; null where nothing findable makes a difference.")
    catalogue_revision = the_revision()
