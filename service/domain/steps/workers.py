"""Who does the work of a plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from service.domain.steps.merging import PlannedStep
from service.domain.steps.plan import Step
from service.domain.terms import StepKind, Who


def programmers(steps: Sequence[PlannedStep]) -> tuple[Who, ...]:
    """Who does what takes the programming tool, reading out aside. Empty where there is no plan."""
    planned = (each.step for each in steps)
    return _who(step for step in planned if step.procedure.tool and step.kind is not StepKind.READ_OUT)


def workers(steps: Sequence[PlannedStep]) -> tuple[Who, ...]:
    """Who works on the unit, what its owner sets up again afterwards aside."""
    return _who(each.step for each in steps if each.step.kind is not StepKind.ACTIVATE)


def _who(steps: Iterable[Step]) -> tuple[Who, ...]:
    doing = {step.procedure.who for step in steps}
    return tuple(who for who in Who if who in doing)
