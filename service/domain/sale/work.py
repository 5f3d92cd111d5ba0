"""Which of the work on a machine the sold board brings about, and which the machine needs as it is.

A machine whose own pair was never introduced, or whose software has to be loaded, is programmed whatever is
sold. That is no part of the sale of a board that has nothing to do with it: it is told, and not charged.
A payment beyond what was bought needs the customer's own consent (Directive 2011/83/EU, article 22).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from service.domain.fit.answer import Answer
from service.domain.steps.merging import PlannedStep
from service.domain.terms import Fit, Programming, StepKind

GOES_ALONG = frozenset({StepKind.READ_OUT, StepKind.ERASE_OWNER_DATA})
"""What is done where the programming tool is at hand anyway, and never calls for it."""


class Work(NamedTuple):
    """The steps of one plan."""

    of_sale: tuple[PlannedStep, ...]
    of_machine: tuple[PlannedStep, ...]
    """What the machine needs as it is, whatever is sold."""

    @property
    def sale_programs(self) -> bool:
        """Whether the sold board itself takes the programming tool."""
        return _programs(self.of_sale)


def work_of(answer: Answer, as_it_is: Answer | None) -> Work:
    """The work of an answer. `as_it_is` is that about the same machine without the board, where it is needed.

    A step is the machine's own where it is on a board that stays and stands in the machine's own plan too.
    With a new naming board everything is programmed anew, so nothing is.
    """
    steps = answer.conclusion.steps
    if as_it_is is None or as_it_is.fit is not Fit.YES or _names(answer):
        return Work(steps, ())
    needed = {_of(each) for each in as_it_is.conclusion.steps}
    coming = answer.case.facts.loose
    own = tuple(
        each
        for each in steps
        if each.step.place is not None and each.step.place not in coming and _of(each) in needed
    )
    rest = tuple(each for each in steps if each not in own)
    if _programs(rest):
        # Whatever is read out for the sold board is read for its sake.
        own = tuple(each for each in own if each.step.kind is not StepKind.READ_OUT)
    return Work(tuple(each for each in steps if each not in own), own if _programs(own) else ())


def asks_of_machine(answer: Answer) -> bool:
    """Whether it has to be looked at what the machine needs as it is. Not for a board that sits there
    already: who brings a machine with it wants just that work."""
    sits = any(board.sits for board in answer.case.facts.proposed)
    return answer.fit is Fit.YES and answer.programming is Programming.NEEDED and not sits


def _names(answer: Answer) -> bool:
    naming = {hub.naming_role for hub in answer.case.facts.hubs}
    return any(place.role in naming for place in answer.case.facts.loose)


def _programs(steps: Iterable[PlannedStep]) -> bool:
    return any(each.step.procedure.tool and each.step.kind not in GOES_ALONG for each in steps)


def _of(planned: PlannedStep) -> tuple[object, ...]:
    step = planned.step
    return step.kind, step.place, step.procedure.subject, step.release
