"""From an aim to the task of the best choice: a block for boards that belong together, one an accessory.

Steps that have no place, such as the self-test, are shared by all options that bring them, and so is the fee
for a session with the tool.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.domain.steps.plan import Step
from service.domain.upgrade.accessories import accessories_of
from service.domain.upgrade.approach import Allowed
from service.domain.upgrade.options import SESSION, Options, Work, name_of
from service.domain.upgrade.task import Burden, Task
from service.domain.upgrade.working import effort_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Framed:
    """A task and what its options mean."""

    task: Task
    works: tuple[Mapping[str, Work], ...]
    """Per block, by the option's name."""
    shared: Mapping[str, Step]
    """The steps behind the shared burdens."""


def frame(options: Options, allowed: Allowed, *, session: bool) -> Framed:
    """The task of bringing a unit to what is wanted. `session`: whether work with the programming tool is
    among it; the best of both is the best of all. Raises BoundExceeded."""
    aim = options.aim
    boards = [options.of_boards(places, allowed, session=session) for places in aim.blocks]
    besides = [options.of_accessory(name, allowed, session=session) for name in accessories_of(aim)]
    blocks = [*boards, *besides]
    shared = {name_of(step): step for block in blocks for _, work in block for step in work.common}
    due = {name: options.burden(effort_of((step,))) for name, step in shared.items()}
    serials = {board.serial for on_shelf in aim.offers.stock.values() for board in on_shelf}
    task = Task(
        blocks=tuple(tuple(option for option, _ in block) for block in blocks),
        shared={**due, SESSION: Burden(aim.offers.session)},
        wants=tuple(
            (frozenset(need.name for need in aim.needs if need.capability == name),) for name in aim.wanted
        ),
        stock=dict.fromkeys(sorted(serials), 1),
    )
    works = tuple({option.name: work for option, work in block} for block in blocks)
    return Framed(task=task, works=works, shared=shared)
