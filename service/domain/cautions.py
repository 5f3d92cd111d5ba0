"""Cautions: which ones an answer must carry, as codes with a signal word (ISO 3864-2, ANSI Z535).

The texts are in `service.words`. No plan that opens a unit lacks isolating, taking the battery off and
static; none with a step that can't be undone lacks reading back first; none that changes boards or
software lacks the tests before handing back. Common practice, no source; the maker's manual, local codes
and licensed practice come first, and every answer says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import NamedTuple

from service.domain.steps.merging import PlannedStep
from service.domain.terms import Means, StepKind


class Signal(StrEnum):
    """Signal words of ISO 3864-2 and ANSI Z535."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"


class Caution(NamedTuple):
    """One caution; `service.words` has its text."""

    code: str
    signal: Signal


MANUAL_FIRST = Caution("makers_manual_first", Signal.NOTICE)
DO_NOT_OPEN = Caution("do_not_open_the_machine", Signal.WARNING)
ISOLATE = Caution("isolate_and_wait_for_blades", Signal.WARNING)
BATTERY_OFF = Caution("battery_off_before_boards", Signal.WARNING)
STATIC = Caution("static_discharge", Signal.NOTICE)
GUARDED_BENCH = Caution("guard_blades_on_bench", Signal.WARNING)
STEADY_POWER = Caution("steady_power_while_programming", Signal.NOTICE)
READ_BACK = Caution("read_back_before_binding", Signal.NOTICE)
TRIAL_BINDS = Caution("trial_fitting_binds", Signal.NOTICE)
TEST_SAFETY = Caution("test_safety_before_return", Signal.WARNING)
SEALING = Caution("check_seals_before_closing", Signal.NOTICE)
APPROVAL_ENDS = Caution("approval_may_end", Signal.WARNING)
PACKS = Caution("approved_packs_only", Signal.WARNING)

OPENING = frozenset({StepKind.REMOVE, StepKind.MOUNT})
PROGRAMMING = frozenset({StepKind.LOAD, StepKind.ENTER_SERIAL, StepKind.ASSIGN, StepKind.INTRODUCE})


def cautions_for(means: Means, steps: Sequence[PlannedStep]) -> tuple[Caution, ...]:
    """The cautions of an answer, the gravest first."""
    return _gravest_first(_triggered(means, steps))


def cautions_for_upgrade(
    means: Means, steps: Sequence[PlannedStep], *, another_model: bool, packs: bool
) -> tuple[Caution, ...]:
    """The cautions of an upgrade: those of its steps, and what becomes of a machine that is made another."""
    besides = [*([APPROVAL_ENDS] if another_model else []), *([PACKS] if packs else [])]
    return _gravest_first([*_triggered(means, steps), *besides])


def cautions_for_looking(means: Means) -> tuple[Caution, ...]:
    """The cautions of a look into the unit, at cables and connectors, that changes nothing."""
    if means is Means.CUSTOMER:
        return _gravest_first((MANUAL_FIRST, DO_NOT_OPEN))
    return _gravest_first((MANUAL_FIRST, ISOLATE, BATTERY_OFF, STATIC, SEALING, TEST_SAFETY))


def _gravest_first(found: Iterable[Caution]) -> tuple[Caution, ...]:
    order = list(Signal)
    return tuple(sorted(dict.fromkeys(found), key=lambda caution: order.index(caution.signal)))


def _triggered(means: Means, steps: Sequence[PlannedStep]) -> Iterator[Caution]:
    kinds = {planned.step.kind for planned in steps}
    yield MANUAL_FIRST
    if any(planned.step.kind is StepKind.MOUNT and not planned.step.undoable for planned in steps):
        yield TRIAL_BINDS
    if means is Means.CUSTOMER:
        yield DO_NOT_OPEN
        return
    if kinds & OPENING:
        yield from (ISOLATE, BATTERY_OFF, STATIC, SEALING)
    if kinds & PROGRAMMING:
        yield from (GUARDED_BENCH, STEADY_POWER)
    if any(not planned.step.undoable for planned in steps):
        yield READ_BACK
    if kinds & (OPENING | PROGRAMMING):
        yield TEST_SAFETY
