"""The board judged for each machine that it may be for: as we are told, as we know, with nothing assumed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from service.domain.facts.gathering import case_from
from service.domain.facts.question import NOTHING_STATED, Question, StatedBoard, StatedUnit
from service.domain.facts.sources import Sources
from service.domain.fit.answer import Answer, answer_from
from service.domain.fit.decision import decide
from service.domain.fit.worlds import BoundExceeded
from service.domain.sale.question import SaleQuestion
from service.domain.sale.work import Work, asks_of_machine, work_of
from service.domain.terms import Fit, Means, ModelId, Programming


class Axes(NamedTuple):
    """The two axes of an answer of fit."""

    fit: Fit
    programming: Programming


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """One machine, and three answers about it. Each leaves out more of what nobody has looked at."""

    model: ModelId | None
    """Which model it is for where no machine was named; None for the machine of the question."""
    brought: bool
    told: Answer
    """With what is claimed of the board, and the machine taken to be as the factory left it."""
    known: Answer
    """Without what is claimed of the board."""
    as_it_is: Answer | None
    """The machine without the board, where the work has to be told apart by it."""
    unassumed: Axes
    """As the work is told by, and without what is assumed or claimed of the boards in the machine."""

    @property
    def worked(self) -> Answer:
        """The answer that the work is told by: of a board that is brought nobody knows more than is claimed,
        and it is read before anything is done."""
        return self.told if self.brought else self.known

    @property
    def work(self) -> Work:
        """The steps, those that the board brings about and those that the machine needs as it is."""
        return work_of(self.worked, self.as_it_is)

    @property
    def refused(self) -> bool:
        """Whether it surely does not fit, whatever was claimed or assumed."""
        return self.known.fit is Fit.NO and self.unassumed.fit is Fit.NO

    @property
    def claims_matter(self) -> bool:
        """Whether what is claimed of the board changes the answer."""
        return _axes(self.told) != _axes(self.known)

    @property
    def machine_matters(self) -> bool:
        """Whether what nobody has read in the machine changes the answer."""
        return _axes(self.worked) != self.unassumed


def _axes(answer: Answer) -> Axes:
    return Axes(answer.fit, answer.programming)


def _axes_alone(sources: Sources, question: Question) -> Axes:
    """The axes of an answer of which nothing else is told: nothing is planned for it, nothing asked back."""
    try:
        decision = decide(case_from(sources, question).facts)
    except BoundExceeded:
        return Axes(Fit.UNKNOWN, Programming.UNKNOWN)
    return Axes(decision.fit, decision.programming)


def judgements(sources: Sources, question: SaleQuestion, told: Answer) -> tuple[Judgement, ...]:
    """The machine of the question; where none is named, every model that takes some part the board may be.

    `told` is the answer to the question as it was put. Raises ImpossibleQuestion as `answer_from` does.
    """
    if question.model_named:
        return (_judged(sources, question, None, told),)
    return tuple(_for_models(sources, question, told))


def as_put(question: SaleQuestion) -> Question:
    """The question of fit in it, claims and all."""
    return Question(unit=question.unit, boards=(question.board,), means=Means.COUNTER, as_of=question.as_of)


def _judged(sources: Sources, question: SaleQuestion, model: ModelId | None, told: Answer) -> Judgement:
    put = as_put(question)
    known = put._replace(boards=(_unclaimed(question.board),))
    worked = put if question.brought else known
    unassumed = worked._replace(unit=_unclaimed_boards(question.unit), assume=False)
    judged = answer_from(sources, known)
    asks = asks_of_machine(told if question.brought else judged)
    return Judgement(
        model=model,
        brought=question.brought,
        told=told,
        known=judged,
        as_it_is=answer_from(sources, worked._replace(boards=())) if asks else None,
        unassumed=_axes_alone(sources, unassumed),
    )


def _for_models(sources: Sources, question: SaleQuestion, told: Answer) -> Iterator[Judgement]:
    takes = sources.compiled.binding_domain
    parts = {number for board in told.case.proposed for number in board.part.values or ()}
    models = {model for number, of in takes.items() if not parts or number in parts for model in of}
    for model in sorted(models):
        put = replace(question, unit=question.unit._replace(model=model))
        yield _judged(sources, put, model, answer_from(sources, as_put(put)))


def _unclaimed(board: StatedBoard) -> StatedBoard:
    """The board without what somebody says of it. Which place it is for means nothing without its role."""
    stripped = board._replace(claimed=NOTHING_STATED)
    part_told = board.claimed.part is not None and board.read.part is None
    return stripped._replace(place=None) if part_told and board.role is None else stripped


def _unclaimed_boards(unit: StatedUnit) -> StatedUnit:
    """The machine without what somebody says of its boards; what was read from them stays."""
    return unit._replace(boards=tuple(map(_unclaimed_there, unit.boards)))


def _unclaimed_there(board: StatedBoard) -> StatedBoard:
    role_known = board.role is not None or board.serial is not None or board.read.part is not None
    return board._replace(claimed=NOTHING_STATED) if role_known else board
