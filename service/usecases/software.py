"""Which software goes together on a machine's boards, and in which order it is loaded (Q12)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import Case
from service.domain.facts.gathering import case_from
from service.domain.facts.question import Question, StatedBoard, StatedUnit, Statement
from service.domain.loading.courses import Goal
from service.domain.loading.planning import Loading, loading
from service.domain.loading.ways import Found
from service.domain.place import Place
from service.domain.software.ranges import exactly
from service.domain.software.task import Aim, Carried
from service.domain.software.versions import is_version, parse_version
from service.domain.terms import Means, PartNumber, RoleId
from service.usecases.caller import Caller, means_of
from service.usecases.gathering import sources_of
from service.usecases.mending import Fault, Refused, hint, shown
from service.usecases.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardSoftware:
    """A board that sits in the machine, and what is on it."""

    role: RoleId
    place: str | None = None
    serial: str | None = None
    part: PartNumber | None = None
    empty: bool = False
    release: str | None = None
    silent: bool = False
    """It answers nothing, as after a load that broke off."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftwareQuestion:
    """What is asked."""

    unit: StatedUnit
    boards: tuple[BoardSoftware, ...] = ()
    aim: Aim = Aim.NEWEST
    wanted: Mapping[RoleId, str]
    """A set by name: the release that each of these roles is to end with."""
    means: Means = Means.BENCH
    assume: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class SoftwarePlanned:
    """The answer, with everything that is shown of it."""

    question: SoftwareQuestion
    compiled: CompiledCatalogue
    case: Case
    answer: Loading


def plan_software(shop: Shop, caller: Caller, question: SoftwareQuestion) -> SoftwarePlanned:
    """The loads that bring a machine's software to a set that goes together.

    Raises Refused for names that do not exist, ImpossibleQuestion for a machine that cannot be.
    """
    compiled = shop.catalogue()
    faults = [*_wanted_faults(compiled, question), *_board_faults(compiled, question.boards)]
    if faults:
        raise Refused(faults)
    means = means_of(caller, question.means)
    unit = question.unit._replace(boards=tuple(map(_stated, question.boards)))
    asked = Question(unit=unit, means=means, assume=question.assume)
    case = case_from(sources_of(shop, caller, compiled, [asked]), asked)
    wanted = {role: exactly(parse_version(version)) for role, version in question.wanted.items()}
    answer = loading(compiled, case, Goal(aim=question.aim, wanted=wanted), _found(question.boards))
    _refuse_absent(question, answer)
    return SoftwarePlanned(
        question=replace(question, means=means), compiled=compiled, case=case, answer=answer
    )


def _stated(board: BoardSoftware) -> StatedBoard:
    return StatedBoard(
        serial=board.serial,
        role=board.role,
        place=board.place,
        empty=board.empty,
        claimed=Statement(part=board.part),
    )


def _found(boards: Sequence[BoardSoftware]) -> Found:
    """What is said to be on the boards."""
    found: dict[Place, frozenset[Carried]] = {}
    for board in boards:
        if board.silent or board.release is not None:
            carried = None if board.release is None else parse_version(board.release)
            found[Place(board.role, board.place or "")] = frozenset((carried,))
    return found


def _wanted_faults(compiled: CompiledCatalogue, question: SoftwareQuestion) -> Iterator[Fault]:
    for role, version in question.wanted.items():
        detail = _unknown_role(compiled, role)
        if detail is None:
            detail = _unlisted(compiled, role, version)
        if detail is not None:
            yield Fault(("wanted", role), detail)


def _unlisted(compiled: CompiledCatalogue, role: RoleId, version: str) -> str | None:
    listed = [str(each.version) for each in compiled.catalogue.software.releases[role]]
    if version in listed:
        return None
    mend = hint(version, listed, found_at="the catalogue")
    return f"the catalogue has no release {shown(version)} of {role}: {mend}"


def _board_faults(compiled: CompiledCatalogue, boards: Sequence[BoardSoftware]) -> Iterator[Fault]:
    for at, board in enumerate(boards):
        if board.release is None and not board.silent:
            continue
        detail = _unknown_role(compiled, board.role)
        if detail is not None:
            yield Fault(("boards", at, "role"), detail)
            continue
        names = compiled.catalogue.roles[board.role].places
        if board.place is None and len(names) > 1:
            yield Fault(("boards", at, "place"), f"is missing: say which, {' or '.join(names)}")
        if board.release is not None and not is_version(board.release):
            says = f"{shown(board.release)} is no version: write it as the tool shows it, as in 1.4.0"
            yield Fault(("boards", at, "release"), says)


def _unknown_role(compiled: CompiledCatalogue, role: RoleId) -> str | None:
    carrying = compiled.catalogue.software.releases
    if role in carrying:
        return None
    told = (
        "has no releases that are versions" if role in compiled.catalogue.roles else "is not in the catalogue"
    )
    return f"the role {shown(role)} {told}: {hint(role, carrying, found_at='/v1/models')}"


def _refuse_absent(question: SoftwareQuestion, answer: Loading) -> None:
    """A set by name can only speak of boards that may be there."""
    there = {role for group in answer.groups for role in group.roles}
    faults = [
        Fault(("wanted", role), f"this machine has no board {shown(role)}: leave it out")
        for role in question.wanted
        if role not in there
    ]
    if faults and answer.groups:
        raise Refused(faults)
