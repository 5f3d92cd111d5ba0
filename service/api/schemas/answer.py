"""The answer to a question of fit: the same alone, as an item of a batch, and wherever else it is kept."""

from __future__ import annotations

from marshmallow import fields

from service.api.schemas.closed import Available
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
from service.api.schemas.fields import Choice, Out
from service.api.schemas.problem import ProblemOut
from service.domain.cautions import Signal
from service.domain.terms import Basis, Cause, Clearance, Fit, Outcome, Programming, Who
from service.words.capability_texts import MEANINGS as BLOCKER_MEANINGS
from service.words.caution_texts import CAUTIONS
from service.words.reason_texts import MEANINGS as REASON_MEANINGS
from service.words.step_texts import MEANINGS as STEP_MEANINGS

BASIS = "How well it is known: read with the programming tool, recorded, claimed by somebody, or assumed."


def facts() -> fields.Dict:
    """Facts by name, each with its possible values."""
    return texts_by_name("The facts of it by name, each with its value, or its possible values.")


def a_basis(*, required: bool = False) -> Choice:
    """How well something is known."""
    return Choice(Basis, required=required, metadata={"description": BASIS})


class Minutes(Out):
    """Bench minutes; a range where facts are open."""

    least = a_number("The least.", most=100_000)
    most = a_number("The most.", most=100_000)


class When(Out):
    """For which values of an open fact a step is done."""

    fact = a_text("The fact that decides.", longest=100, example="main.binding")
    values = some_texts(
        "The values for which it is done; empty: it depends on this fact together with others."
    )


class StepOut(Out):
    """One thing to do, in the order of work."""

    step = a_text(f"What kind of step. {told(STEP_MEANINGS)}", longest=64, example="mount")
    role = a_text(
        "The role of the board that it is done to; absent for the whole unit.", longest=64, required=False
    )
    place = a_text("The place, where the role has several.", longest=64, required=False)
    old_board = a_flag("Whether it is done to the board that comes out.")
    subject = a_text("What is set up.", longest=64, required=False, example="charging_station")
    release = a_text("What is loaded.", longest=255, required=False, example="1.4.0")
    who = Choice(Who, required=True, metadata={"description": "Who may do it."})
    tool = a_flag("Whether it needs the programming tool.")
    minutes = an(Minutes, "Bench minutes.")
    undoable = a_flag("Whether it can be undone. What binds a board cannot.")
    when = an(When, "When it is done; absent: always.", required=False)
    text = a_text("The same in words.", longest=600)


class WorkOut(Out):
    """What has to be programmed, and the whole work around it."""

    needed = Choice(
        Programming,
        required=True,
        metadata={"description": "Whether the tool is needed."},
    )
    steps = some(StepOut, "What to do, in order. Empty where nothing fits.", most=1_000)
    minutes = an_or_null(Minutes, "Bench minutes in all; null without steps.")


class ReasonOut(Out):
    """Why the answer is what it is."""

    code = a_text(
        f"What was found. More codes may come. {told(REASON_MEANINGS)}",
        longest=64,
        example="bound_to_other_model",
    )
    deciding = a_flag("Whether it decides the outcome, in some case that is still possible.")
    certain = a_flag("Whether it holds in every case that is still possible.")
    role = a_text(
        "The role it is about; absent for the unit itself.", longest=64, required=False, example="main"
    )
    place = a_text("The place, where the role has several.", longest=64, required=False, example="left")
    facts = facts()
    basis = a_basis()
    text = a_text("The same in words.", longest=1_000)


class AnswerBoard(Out):
    """A board of the question, proposed or sitting in the unit. Its serial stands here and nowhere else."""

    role = a_text("Its role.", longest=64, example="main")
    place = a_text("Its place, where the role has several.", longest=64, required=False)
    proposed = a_flag("Whether it is proposed; else it sits in the unit.")
    serial = a_text("Its serial, compacted.", longest=64, required=False)
    recorded = a_flag("Whether the ledger knows it.")
    part = a_text("Its part, where it is known.", longest=64, required=False, example="MN-4100")


class AnswerUnit(Out):
    """The unit of the question."""

    serial = a_text("Its serial, compacted.", longest=64, required=False)
    recorded = a_flag("Whether the ledger knows it.")
    models = some_texts("The models it may be. Empty: any.")


class BlockerOut(Out):
    """What stands between the unit and a capability."""

    code = a_text(
        f"What it is. More codes may come. {told(BLOCKER_MEANINGS)}",
        longest=64,
        example="not_allowed_for_model",
    )
    certain = a_flag("Whether it stands in every case that is still possible.")
    facts = facts()
    text = a_text("The same in words.", longest=600)


class AbilityOut(Out):
    """One capability of the unit."""

    name = a_text("Its name.", example="work lamp")
    available = Choice(Available, metadata={"description": "For a switch."})
    least = a_number("For a count: how much at least.", required=False)
    most = a_number("For a count: how much at most.", required=False)
    reports_error = a_flag("Whether the unit reports an error, because more is connected than allowed.")
    blockers = some(BlockerOut, "What stands in the way of more.", most=100)


class Lost(Out):
    """A capability that the unit has less of afterwards."""

    capability = a_text("Which.", longest=64, example="zones")
    certain = a_flag("Whether surely.")


def abilities(description: str) -> fields.Dict:
    """Capabilities by id."""
    return fields.Dict(
        keys=fields.String(metadata={"maxLength": 64}),
        values=fields.Nested(AbilityOut),
        required=True,
        metadata={"description": description},
    )


class Capabilities(Out):
    """What the boards change."""

    before = abilities("What the unit can do now.")
    after = abilities("What it will be able to do. Nothing, where the set is refused.")
    gained = some_texts("What it surely gains.")
    may_gain = some_texts("What it may gain.")
    lost = some(Lost, "What it loses, surely or perhaps.", most=1_000)


def clearance(description: str) -> Choice:
    """Whether anything is held."""
    return Choice(Clearance, required=True, metadata={"description": description})


class ClearancesOut(Out):
    """Whether anything is held against them. Fit is not permission, and nothing known is not a clean bill."""

    board = clearance("The proposed boards.")
    unit = clearance("The unit.")
    donor = clearance("The unit that a board came out of.")


class AssumedOut(Out):
    """One fact that was taken for granted."""

    fact = a_text("The fact.", longest=100, example="panel.binding")
    value = a_text("What it was taken to be.", example="plover-40")
    why = a_text(
        "`as_made`: nobody speaks of it, so it is taken to be as the factory left it. `withdrawn`: something "
        "speaks "
        "against it, so it was not taken for granted any more.",
        longest=64,
        example="as_made",
    )


class AskAnswer(Out):
    """Answers to a question that lead to the same outcome."""

    values = some_texts("The answers; empty: it can't be found out.")
    outcome = Choice(Outcome, required=True, metadata={"description": "The outcome then."})
    then = fields.Nested(lambda: AskOut, metadata={"description": "What to ask next, with `questions=all`."})


class AskOut(Out):
    """The one fact that would settle most, and is least effort to find out."""

    fact = a_text("The fact.", longest=100, example="main.binding")
    question = a_text("The question, in words.", longest=600)
    how = a_text("How to find it out, in words.", longest=600)
    answers = some(AskAnswer, "What each answer would mean.", most=10_000)


class CautionOut(Out):
    """What to look out for. The maker's manual, local codes and licensed practice come first."""

    code = a_text(
        f"Which. More codes may come. {told(CAUTIONS)}", longest=64, example="battery_off_before_boards"
    )
    signal = Choice(Signal, required=True, metadata={"description": "The signal word of ISO 3864-2."})
    text = a_text("What it says.", longest=1_000)


class WouldFitIf(Out):
    """A place of the unit that stands in the way."""

    role = a_text("The role.", longest=64, example="panel")
    place = a_text("The place, where the role has several.", longest=64, required=False)


class FitAnswer(Out):
    """Whether these boards go into that unit, what has to be done, and what it can do then."""

    outcome = Choice(Outcome, required=True, metadata={"description": "The answer."})
    summary = a_text("The answer in words that can be read to a customer.", longest=2_000)
    fit = Choice(
        Fit,
        required=True,
        metadata={"description": "Whether the resulting set works in the unit."},
    )
    cause = Choice(Cause, metadata={"description": "Why it can't be told, where it can't."})
    programming = an(WorkOut, "What has to be programmed.")
    reasons = some(ReasonOut, "Why: the deciding ones first.")
    unit = an(AnswerUnit, "The unit.")
    boards = some(AnswerBoard, "The boards of the question.", most=256)
    capabilities = an(
        Capabilities, "What the unit can do before and after; absent where nothing is known.", required=False
    )
    clearance = an(ClearancesOut, "Whether anything is held.")
    assumed = some(AssumedOut, "What was taken for granted.")
    ask = an_or_null(
        AskOut, "The fact to find out next; null where none that can be found changes the answer."
    )
    would_fit_if = some(
        WouldFitIf, "Places of the unit itself that stand in the way, and nothing else does.", most=256
    )
    cautions = some(CautionOut, "What to look out for.", most=100)
    rests_on = a_basis()
    catalogue_revision = the_revision()
    as_of = fields.AwareDateTime(
        metadata={"description": "The moment that was asked about; absent: what is recorded now."}
    )


class BatchItem(Out):
    """The answer to one question of a batch, or what is wrong with that question."""

    answer = an(FitAnswer, "The answer.", required=False)
    problem = an(ProblemOut, "The problem, with pointers into that question.", required=False)


class FitAnswers(Out):
    """Answers in the order of the questions, all from one catalogue revision."""

    answers = some(BatchItem, "One for each question.", most=1_000)
    catalogue_revision = the_revision()
