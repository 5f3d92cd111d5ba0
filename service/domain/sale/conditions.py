"""What is said, and agreed to, with a sale. One small function each."""

from __future__ import annotations

from collections.abc import Iterable

from service.domain.fit.answer import Answer
from service.domain.fit.own_boards import perhaps_not_usable
from service.domain.sale.ground import Ground, ground
from service.domain.sale.judging import Judgement
from service.domain.sale.question import Asked
from service.domain.sale.situation import Situation
from service.domain.sale.warranty import WarrantyState
from service.domain.steps.merging import PlannedStep
from service.domain.terms import BindingPolicy, Fit, Programming, StepKind, Who


def unit_not_named(found: Situation) -> Ground | None:
    """Nobody knows which machine it goes into: only its model is named."""
    named = found.question.unit_named or not found.question.model_named
    return None if named else ground("unit_not_named")


def fits_only(found: Situation) -> Ground | None:
    """No machine at all is named: what the board can go into."""
    if found.question.model_named:
        return None
    surely = [each.model for each in found.judged if each.model and each.known.fit is Fit.YES]
    perhaps = [each.model for each in found.judged if each.model and each.known.fit is Fit.UNKNOWN]
    return ground("fits_only", models=surely, maybe=perhaps)


def fit_not_assured(found: Situation) -> Ground | None:
    """Nothing that can be found out at the counter tells whether it fits."""
    answers = [each.known for each in found.judged]
    unknown = [each for each in answers if each.fit is Fit.UNKNOWN and each.ask is None]
    if not found.question.model_named or not unknown:
        return None
    return ground("fit_not_assured", cause=dict.fromkeys(each.cause for each in unknown if each.cause))


def read_board_first(found: Situation) -> Ground | None:
    """A board that the customer brings is read before anything is done to it."""
    if not found.question.brought:
        return None
    binds = [part.binding is not BindingPolicy.FREE for part in found.known_parts]
    return ground("read_board_first") if any(binds) or not binds else None


def own_board_terms(found: Situation) -> Ground | None:
    """The terms for a board that the customer brings."""
    return ground("own_board_terms") if found.question.brought else None


def programming_needed(found: Situation) -> Ground | None:
    """It does not run before it is programmed."""
    judged = [each for each in found.judged if each.worked.fit is Fit.YES]
    programming = [_programming(each) for each in judged]
    if not {Programming.NEEDED, Programming.UNKNOWN} & set(programming):
        return None
    certain = all(each is Programming.NEEDED for each in programming)
    code = "programming_needed" if certain else "programming_possible"
    return ground(code, who=_workers(step for each in judged for step in each.work.of_sale))


def machine_needs_programming(found: Situation) -> Ground | None:
    """The boards that stay in the machine have to be programmed whatever is sold: no part of this sale."""
    steps = [step for each in found.judged if found.question.model_named for step in each.work.of_machine]
    return ground("machine_needs_programming", who=_workers(steps)) if steps else None


def machine_board_not_usable(found: Situation) -> Ground | None:
    """A board that stays in the machine is, or may be, in a state in which it must not be used."""
    answers = [each.known for each in found.judged if found.question.model_named]
    places = [str(place) for answer in answers for place in perhaps_not_usable(answer.case)]
    return ground("machine_board_not_usable", place=places) if places else None


def binds_permanently(found: Situation) -> Ground | None:
    """Programming it takes its blankness away for good."""
    answers = _fitting(found)
    steps = [planned.step for each in answers for planned in each.conclusion.steps]
    binding = any(not step.undoable and not step.old for step in steps)
    return ground("binds_permanently") if binding else None


def other_serial(found: Situation) -> Ground | None:
    """The board holds the serial of the machine that it came out of."""
    read = found.question.board.read.holds
    held = found.board.held_serial if found.board and read is None else read
    if not held:
        return None
    serial = found.compiled.read_unit(held).serial
    return ground("other_serial", serial=(serial,)) if serial != found.told.case.unit.serial else None


def machine_not_read(found: Situation) -> Ground | None:
    """It rests on the machine being as the factory left it, which nobody has looked at.

    A board that binds is only put in after the others were read; for one that does not it is enough that
    the machine runs with them.
    """
    if not found.question.model_named or not any(each.machine_matters for each in found.judged):
        return None
    binds = [part.binding is not BindingPolicy.FREE for part in found.known_parts]
    return ground("read_machine_first" if any(binds) or not binds else "machine_must_run")


def to_be_tested(found: Situation) -> Ground | None:
    """A used board with a safety function that nobody has tested since it was in use."""
    safety = any(role.safety for role in found.roles)
    tested = found.board is not None and found.board.tested
    return ground("test_first") if safety and found.used and not tested else None


def warranty_asked(found: Situation) -> Ground | None:
    """The seller has cleared up that the customer pays, although a warranty may be open."""
    possible = found.warranty.state in (WarrantyState.OPEN, WarrantyState.UNKNOWN)
    return ground("warranty_asked") if possible and Asked.WARRANTY in found.question.asked else None


def campaign_asked(found: Situation) -> Ground | None:
    """The seller has cleared up that the customer pays, although a campaign may be open."""
    if not found.campaigns or Asked.CAMPAIGN not in found.question.asked:
        return None
    return ground("campaign_asked", campaign=(campaign.id for campaign in found.campaigns))


def _programming(of: Judgement) -> Programming:
    """Whether the board itself has to be programmed there."""
    work = of.work
    return Programming.NONE if work.of_machine and not work.sale_programs else of.worked.programming


def _workers(steps: Iterable[PlannedStep]) -> list[Who]:
    """Who does what takes the tool, reading out aside; a dealer where there is no plan."""
    tool = (each.step.procedure for each in steps if each.step.kind is not StepKind.READ_OUT)
    return sorted({procedure.who for procedure in tool if procedure.tool} or {Who.DEALER})


def _fitting(found: Situation) -> list[Answer]:
    """The answers that the work is told by, of machines that it fits."""
    return [each.worked for each in found.judged if each.worked.fit is Fit.YES]


CONDITIONS = (
    unit_not_named,
    fits_only,
    fit_not_assured,
    own_board_terms,
    read_board_first,
    programming_needed,
    machine_needs_programming,
    machine_board_not_usable,
    binds_permanently,
    other_serial,
    machine_not_read,
    to_be_tested,
    warranty_asked,
    campaign_asked,
)
"""In the order in which they are told."""
