"""For boards that needs join, what is to be done in each case of what may be there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from heapq import merge
from itertools import product
from math import prod

from service.domain.loading.ways import Way
from service.domain.place import Place
from service.domain.software.bound import MOST_CASES, BoundExceeded
from service.domain.software.facts import Fact
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Case, Load, plans
from service.domain.software.ranges import Range
from service.domain.software.releases import Software
from service.domain.software.task import Aim, Board, Carried, Task, all_that_runs, told_as_fact
from service.domain.software.why_not import why_not
from service.domain.terms import RoleId

MOST_ALIKE = 64
"""So many ways that are not alike are planned for."""

When = Mapping[str, tuple[str, ...]]
"""One case: open facts with the values that come to the same. A release is told by its version, or by
`NO_ANSWER`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """What is wanted."""

    aim: Aim
    wanted: Mapping[RoleId, Range]


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What is to be done in one case, or in several that come to the same."""

    when: tuple[When, ...]
    outcome: PlanOutcome
    loads: tuple[Load, ...]
    before: Mapping[Place, frozenset[Carried]]
    """What is on each board at first."""
    why_not: tuple[Fact, ...] = ()
    """For no plan: a smallest set of facts that rules it out in the first case."""

    @property
    def target(self) -> Mapping[Place, Carried]:
        """What is on the boards at the end; one that keeps what nobody knows is not in it."""
        kept = {place: next(iter(may)) for place, may in self.before.items() if len(may) == 1}
        return {**kept, **{load.place: load.version for load in self.loads}}


def courses(
    software: Software, roles: Sequence[RoleId], ways: Sequence[Way], goal: Goal
) -> tuple[Course, ...]:
    """What is to be done with the boards of some roles. Raises BoundExceeded for too many cases."""
    narrowed = _alike(software, roles, ways)
    if len(narrowed) > MOST_ALIKE:
        raise BoundExceeded
    open_facts = _open(list(narrowed.values()))
    found: dict[tuple[PlanOutcome, tuple[Load, ...]], list[_Start]] = {}
    for way, told in narrowed.items():
        there = {board.place.role for board in way.boards}
        wanted = {role: span for role, span in goal.wanted.items() if role in there}
        task = Task(software=software, model=way.model, boards=way.boards, wanted=wanted, aim=goal.aim)
        facts = {name: tuple(sorted(values)) for name, values in told.items() if name in open_facts}
        for combination in _combinations(task):
            key = _outcome(combination), in_order(software, [case.loads for case in combination])
            found.setdefault(key, []).extend(_starts(task, facts, combination))
    if sum(map(len, found.values())) > MOST_CASES:
        raise BoundExceeded
    return tuple(_course(*key, starts) for key, starts in found.items())


def in_order(software: Software, loads: Sequence[Sequence[Load]]) -> tuple[Load, ...]:
    """Sequences that have nothing to do with each other as one: each time the load whose role comes first."""
    order = {role: at for at, role in enumerate(software.roles)}
    return tuple(merge(*loads, key=lambda load: (order[load.place.role], load.place.name)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Start:
    """One case: how it is told, and the task with nothing open."""

    when: When
    task: Task


def _alike(
    software: Software, roles: Sequence[RoleId], ways: Sequence[Way]
) -> Mapping[Way, Mapping[str, set[str]]]:
    """The ways with those boards alone, each with the facts that it stands for. Models for which the same
    releases are made are alike, and so are parts on which the same run."""
    found: dict[object, tuple[Way, dict[str, set[str]]]] = {}
    for way in ways:
        boards = tuple(board for board in way.boards if board.place.role in roles)
        made = frozenset(
            (role, each.version)
            for role in roles
            for each in software.releases[role]
            if each.models is None or way.model in each.models
        )
        cut = Way(model=way.model, boards=boards)
        run = tuple((b.place, all_that_runs(software, b.place.role, b.part), b.may_carry) for b in boards)
        _, told = found.setdefault((made, run), (cut, {}))
        for name, value in cut.facts():
            told.setdefault(name, set()).add(value)
    return dict(found.values())


def _open(told: Sequence[Mapping[str, set[str]]]) -> frozenset[str]:
    """The facts by which the ways differ; one that only some ways know tells nothing by itself."""
    values: dict[str, set[frozenset[str]]] = {}
    for each in told:
        for name, told_there in each.items():
            values.setdefault(name, set()).add(frozenset(told_there))
    return frozenset(name for name, differing in values.items() if len(differing) > 1)


def _combinations(task: Task) -> Iterator[tuple[Case, ...]]:
    blocks = plans(task).blocks
    if prod(len(block.cases) for block in blocks) > MOST_CASES:
        raise BoundExceeded
    return product(*(block.cases for block in blocks))


def _outcome(cases: Sequence[Case]) -> PlanOutcome:
    order = list(PlanOutcome)
    return min((case.outcome for case in cases), key=order.index, default=PlanOutcome.PLAN)


def _starts(task: Task, facts: When, cases: Sequence[Case]) -> Iterator[_Start]:
    """Every case that a combination of the blocks' cases is for."""
    for each in product(*(case.when for case in cases)):
        carried = {place: version for told in each for place, version in told.items()}
        releases = {f"{place}.release": (told_as_fact(version),) for place, version in carried.items()}
        boards = tuple(
            Board(place=b.place, part=b.part, may_carry=frozenset((carried[b.place],)))
            if b.place in carried
            else b
            for b in task.boards
        )
        settled = Task(
            software=task.software, model=task.model, boards=boards, wanted=task.wanted, aim=task.aim
        )
        yield _Start(when={**facts, **releases}, task=settled)


def _course(outcome: PlanOutcome, loads: tuple[Load, ...], starts: Sequence[_Start]) -> Course:
    before: dict[Place, frozenset[Carried]] = {}
    for start in starts:
        for board in start.task.boards:
            before[board.place] = before.get(board.place, frozenset()) | board.may_carry
    return Course(
        when=tuple(start.when for start in starts if start.when),
        outcome=outcome,
        loads=loads if outcome is PlanOutcome.PLAN else (),
        before=before,
        why_not=_why_not(starts[0].task) if outcome is PlanOutcome.NO_PLAN else (),
    )


def _why_not(task: Task) -> tuple[Fact, ...]:
    try:
        return why_not(task)
    except BoundExceeded:
        return ()
