"""What puts a unit right that refuses to run: the mend, by whom, and how long it takes (Q9)."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.catalogue.hub import Hub
from service.domain.cautions import Caution, cautions_for_looking
from service.domain.facts.question import MAX_BOARDS, Question, StatedBoard, StatedUnit, Statement
from service.domain.fit.answer import Answer
from service.domain.fit.own_boards import perhaps_not_usable, to_be_changed
from service.domain.fit.refusing import Refusal, RefusalCause, refusal_of
from service.domain.fit.remedies import may_mend
from service.domain.fit.worlds import table_again
from service.domain.parts.chain import current
from service.domain.parts.for_unit import parts_of_unit
from service.domain.place import Place
from service.domain.steps.workers import workers
from service.domain.terms import Clearance, Fit, PartNumber, StepKind, Who

CHANGE_BOARDS = "change_boards"
TEST_BOARDS = "test_boards"
PROGRAM = "program"
CHECK_CONNECTIONS = "check_connections"
FIND_OUT = "find_out"
ASK_FIRST = "ask_first"
"""What puts a unit right. Codes may grow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """What puts it right."""

    code: str
    places: tuple[Place, ...] = ()
    """Where a board has to be changed, fitted or tested."""
    who: tuple[Who, ...] = ()
    """Who does it, what the owner sets up again afterwards aside; empty where that is not known."""
    minutes: tuple[int, int] | None = None
    """Bench minutes, least and most; None where no papers say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to think of, and what to do, when a unit refuses to run."""

    answer: Answer
    """The answer about the unit as it is, from which all of this follows."""
    refusal: Refusal
    mend: Mend
    cautions: tuple[Caution, ...]


def new_boards(unit: StatedUnit, answer: Answer) -> Question | None:
    """The question of a unit with new boards where its own stand in the way: its answer tells the work.
    `answer` is that about the same unit as it is.

    None where no change of boards alone puts it right, and for a unit that is out of service.
    """
    places = _changed(answer)
    if not 0 < len(places) <= MAX_BOARDS or _ended(answer):
        return None
    boards = tuple(_new_board(answer, place) for place in places)
    return Question(unit=unit, boards=boards, means=answer.case.facts.means)


def advice(answer: Answer, with_new_boards: Answer | None) -> Advice | None:
    """The advice on a unit. None for one that is recorded as out of service: nobody expects it to run.

    `with_new_boards` is the answer to the question of `new_boards`, where there is one.
    """
    if _ended(answer):
        return None
    refusal = refusal_of(answer)
    mend, cautions = _mend(answer, refusal, with_new_boards)
    return Advice(answer=answer, refusal=refusal, mend=mend, cautions=cautions)


def _changed(answer: Answer) -> tuple[Place, ...]:
    """Where a board has to change: it stands in the way of the others, or no test brings it back."""
    return tuple(sorted({*answer.would_fit_if, *to_be_changed(answer.case)}))


def _ended(answer: Answer) -> bool:
    record = answer.case.unit.record
    return record is not None and record.ended


def _mend(answer: Answer, refusal: Refusal, renewed: Answer | None) -> tuple[Mend, tuple[Caution, ...]]:
    looking = cautions_for_looking(answer.case.facts.means)
    if answer.clearance.unit is Clearance.HELD:
        return Mend(code=ASK_FIRST), looking
    match refusal.cause:
        case RefusalCause.NOT_CONNECTED:
            return Mend(code=CHECK_CONNECTIONS, who=_openers(answer)), looking
        case RefusalCause.NOT_INTRODUCED:
            return _worked(PROGRAM, (), answer)
        case RefusalCause.BOARDS_DISAGREE | RefusalCause.INCOMPLETE | RefusalCause.RELEASES_DISAGREE if (
            answer.would_fit_if
        ):
            return _change(answer, renewed)
        case RefusalCause.NOT_USABLE:
            tested = Mend(code=TEST_BOARDS, places=perhaps_not_usable(answer.case), who=_openers(answer))
            return _change(answer, renewed) if _changed(answer) else (tested, looking)
        case _:
            return Mend(code=FIND_OUT), looking


def _change(answer: Answer, renewed: Answer | None) -> tuple[Mend, tuple[Caution, ...]]:
    """Other boards, with the work that `renewed` tells where it is the answer to them."""
    places = _changed(answer)
    if renewed is not None and renewed.fit is Fit.YES:
        return _worked(CHANGE_BOARDS, places, renewed)
    return Mend(code=CHANGE_BOARDS, places=places), cautions_for_looking(answer.case.facts.means)


def _worked(code: str, places: tuple[Place, ...], by: Answer) -> tuple[Mend, tuple[Caution, ...]]:
    """A mend with who does its steps, how long they take, and their cautions."""
    who = workers(by.conclusion.steps)
    return Mend(code=code, places=places, who=who, minutes=by.minutes), by.cautions


def _openers(answer: Answer) -> tuple[Who, ...]:
    """Who opens the unit: whoever takes boards out of it, in the families that it may be of."""
    found = {_opener(hub) for hub in answer.case.unit.hubs}
    return tuple(who for who in Who if who in found)


def _opener(hub: Hub) -> Who | None:
    procedure = hub.procedures.get(StepKind.REMOVE)
    return procedure.who if procedure else None


def _new_board(answer: Answer, place: Place) -> StatedBoard:
    """A board as it comes in its box, of the part that is ordered for that place today."""
    new = Statement(part=_part_for(answer, place), binding="blank", holds="")
    return StatedBoard(role=place.role, place=place.name, claimed=new)


def _part_for(answer: Answer, place: Place) -> PartNumber | None:
    compiled = answer.case.unit.hubs[0].compiled
    suiting = [each for each in parts_of_unit(compiled, answer.case.unit) if each.part.role == place.role]
    ends = {each.part.number: current(compiled.catalogue, each.part.number) for each in suiting}
    suiting.sort(key=lambda each: (not each.certain, each.part.number not in ends[each.part.number]))
    numbers = [each.part.number for each in suiting]
    rows = table_again(answer.case.facts)
    mends = (number for number in numbers if may_mend(rows, place, number))
    return next(mends, numbers[0] if numbers else None)
