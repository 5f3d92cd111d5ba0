"""Plain cases of the oracles as questions to the engine, and its plans as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from heapq import merge

from service.domain.place import Place
from service.domain.software.compiling import compiled
from service.domain.software.facts import Fact, FactKind
from service.domain.software.outcome import PlanOutcome
from service.domain.software.plans import Load, Plans, plans
from service.domain.software.ranges import parse_range
from service.domain.software.releases import Need, Release, software
from service.domain.software.sets import sets_that_go_together
from service.domain.software.task import Aim, Board, Carried, Task, ordered
from service.domain.software.versions import Version, parse_version
from service.domain.terms import ModelId, PartNumber, RoleId
from tests.oracles.software_cases import NOTHING, VERSIONS, Instance, PlainRelease


def range_text(versions: Sequence[str]) -> str:
    """A range that holds, of the versions that the cases have, exactly these."""
    if not versions:
        return "<0.0.0"
    places = [VERSIONS.index(version) for version in versions if version in VERSIONS]
    gapless = len(places) == len(versions) == places[-1] - places[0] + 1 and not any(
        "-" in v for v in versions
    )
    if gapless and "-" not in "".join(VERSIONS[places[0] : places[-1] + 1]):
        return f">={versions[0]} <={versions[-1]}"
    return " || ".join(f"={version}" for version in versions)


def release(role: str, each: PlainRelease) -> Release:
    return Release(
        role=RoleId(role),
        version=parse_version(each.version),
        parts=None if each.parts is None else frozenset(map(PartNumber, each.parts)),
        models=None if each.models is None else frozenset(map(ModelId, each.models)),
        needs={
            RoleId(other): Need(range=parse_range(range_text(held)), must_be_there=must)
            for other, (held, must) in each.needs.items()
        },
        loads_from=None if each.loads_from is None else parse_range(range_text(each.loads_from)),
    )


def carried(version: str) -> Carried:
    return None if version == NOTHING else parse_version(version)


def place(name: str) -> Place:
    role, _, at = name.partition(".")
    return Place(RoleId(role), at)


def task(case: Instance, aim: Aim = Aim.NEWEST, open_at: Iterable[int] = ()) -> Task:
    """The question; of the boards `open_at` nothing is known but that it is a listed release."""
    every = [release(role, each) for role, listed in case.releases.items() for each in listed]
    opened = set(open_at)
    boards = tuple(
        Board(
            place=place(name),
            part=PartNumber(part),
            may_carry=frozenset(
                [carried(each.version) for each in case.releases[role]]
                if at in opened
                else [carried(case.carries[at])]
            ),
        )
        for at, (name, role, part) in enumerate(case.places)
    )
    return Task(
        software=software([RoleId(role) for role in case.roles], every),
        model=ModelId(case.model),
        boards=boards,
        wanted={RoleId(role): parse_range(range_text(held)) for role, held in case.wanted.items()},
        aim=aim,
    )


def plain(loads: Iterable[Load]) -> list[tuple[str, str]]:
    return [(str(load.place), str(load.version)) for load in loads]


def in_one_sequence(question: Task, found: Plans) -> tuple[Load, ...]:
    """The loads of all blocks in the one order that the rule for ties names, where no case is open."""
    order = {board.place: at for at, board in enumerate(ordered(question.software, question.boards))}
    cases = [case for block in found.blocks for case in block.cases]
    assert len(cases) == len(found.blocks), "what is on the boards is open"
    # Each time the sequence whose next load is on the earliest board: what `merge` does with any sequences.
    return tuple(merge(*(case.loads for case in cases), key=lambda load: order[load.place]))


def all_sets(question: Task) -> Iterator[Mapping[Place, Version]]:
    """Every set of releases that goes together on the boards, the newest first, in reach or not."""
    problem = compiled(question)
    for state in sets_that_go_together(problem):
        carries = {lane.place: lane.nodes[at] for lane, at in zip(problem.lanes, state, strict=True)}
        yield {at: version for at, version in carries.items() if version is not None}


def planned(case: Instance, aim: Aim) -> list[tuple[str, str]] | None:
    """The engine's one plan as plain data; None where it says that there is none."""
    question = task(case, aim)
    return told(question, plans(question))


def told(question: Task, found: Plans) -> list[tuple[str, str]] | None:
    (outcome,) = found.outcomes
    assert outcome is not PlanOutcome.BOUND_EXCEEDED, "a small case passes no bound"
    return plain(in_one_sequence(question, found)) if outcome is PlanOutcome.PLAN else None


KINDS = {
    FactKind.NEEDS: "needs",
    FactKind.LOADS_FROM: "loads_from",
    FactKind.PARTS: "parts",
    FactKind.MODELS: "models",
    FactKind.WANTED: "wanted",
}


def plain_fact(fact: Fact) -> tuple[str, ...]:
    told = (fact.role, fact.version, fact.other)
    return (KINDS[fact.kind], *(str(each) for each in told if each is not None))
