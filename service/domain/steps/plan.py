"""The steps that make a fitting set of boards work: what to do, in the family's order, by whom.

A plan is made for one world and carried out on a `Setup` by the transition table as it is made, so
that no answer contains a step that its own law refuses. `domain.steps.merging` puts the plans of
several worlds together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from service.domain.catalogue.hub import Hub
from service.domain.catalogue.model import Procedure
from service.domain.place import Place
from service.domain.rules import FITS_WITH_TOOL, Verdict
from service.domain.rules.board import Board
from service.domain.software.versions import Version
from service.domain.steps.setup import Action, Fitted, Setup
from service.domain.steps.transitions import perform
from service.domain.terms import BindingPolicy, PartNumber, StepKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of an answer."""

    kind: StepKind
    place: Place | None
    old: bool
    """The step is on the board that comes out."""
    procedure: Procedure
    undoable: bool
    """Whether it can be undone. A step that binds a board cannot."""
    release: int | None = None
    """For `load`: what is loaded, by its position in the list of the role."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """One fitting world: the resulting set, and what sits now where something is proposed."""

    hub: Hub
    boards: Mapping[Place, tuple[Board, Verdict]]
    replaced: Mapping[Place, PartNumber]
    """The places whose board comes out, with its part: proposed ones, and those that are left empty."""
    second_hand: frozenset[Place]
    """Places of boards that hold another owner's data."""
    unread: frozenset[Place]
    """Places of boards that nobody has read, and that are read before anything is bound: proposed ones of
    which nothing is read or recorded, and the naming board that stays and gives a follower its model."""
    session: bool = False
    """Other work on the unit takes the programming tool anyway."""
    loads: tuple[tuple[Place, int], ...] = ()
    """Which releases are loaded where, by position, in the order of the loads."""
    releases: Mapping[Place, Version] = field(default_factory=dict)
    """What is on the boards at first, where that is known; also what the catalogue does not list."""


def plan(world: World) -> tuple[list[Step], Setup]:
    """The steps of one world, and the setup they end in. Raises `transitions.Refused` if the needs of
    the rules and the laws of the steps ever disagree."""
    setup = start(world)
    steps = []
    for procedure, old, action in _actions(world):
        before = setup
        setup = perform(world.hub, setup, action)
        step = Step(
            kind=action.kind,
            place=action.place,
            old=old,
            procedure=procedure,
            undoable=setup is before or not _binds_something(before, setup, action),
            release=action.release,
        )
        steps.append(step)
    return steps, setup


def start(world: World) -> Setup:
    """The unit before the first step: what stays, and the boards that will come out."""
    staying = {place: fitted(world, board) for place, (board, _) in world.boards.items() if not board.comes}
    leaving = {
        place: Fitted(part=part, binding=world.hub.model.id, key=f"old {place}")
        for place, part in world.replaced.items()
    }
    return Setup(model=world.hub.model.id, boards={**staying, **leaving})


def fitted(world: World, board: Board) -> Fitted:
    """A board of a world as it goes into a setup."""
    namer_place = next((p for p in world.boards if p.role == world.hub.naming_role), None)
    return Fitted(
        part=board.part,
        binding=board.binding,
        holds=board.holds,
        key=_key(board),
        release=world.releases.get(board.place),
        partner=_key(world.boards[namer_place][0]) if board.introduced and namer_place else None,
    )


def _key(board: Board) -> str:
    return f"{'new' if board.comes else 'own'} {board.place}"


Work = tuple[Procedure, bool, Action]
"""How a step is done, whether on the board that comes out, and what it does."""


def _actions(world: World) -> Iterator[Work]:
    """The steps wanted, in the family's order of work."""
    for procedure in world.hub.family.procedures:
        kind = procedure.kind
        if kind is StepKind.LOAD:
            loads = world.loads
            yield from (
                (procedure, False, Action(kind=kind, place=at, release=release)) for at, release in loads
            )
        for place, old in _wanted(world, kind):
            board = None
            if kind is StepKind.MOUNT and place is not None:
                board = fitted(world, world.boards[place][0])
            yield procedure, old, Action(kind=kind, place=place, board=board, subject=procedure.subject)
        if kind is StepKind.MOUNT:
            yield from _read_new(world)


def _read_new(world: World) -> Iterator[Work]:
    """Boards that nobody has read are, as soon as they can be, before any step that can't be undone."""
    procedure = world.hub.procedures.get(StepKind.READ_OUT)
    if procedure is None or not _programmed(world):
        return
    for place in sorted(world.unread, key=lambda place: _order(world, place)):
        yield procedure, False, Action(kind=StepKind.READ_OUT, place=place)


def _wanted(world: World, kind: StepKind) -> Iterable[tuple[Place | None, bool]]:
    """Where a kind of step is wanted: (place, whether on the board that comes out)."""
    match kind:
        case StepKind.READ_OUT:
            found = [(place, True) for place in _answering(world)]
        case StepKind.REMOVE:
            found = [(place, True) for place in world.replaced]
        case StepKind.MOUNT:
            found = [(place, False) for place in _proposed(world)]
        case StepKind.ERASE_OWNER_DATA:
            found = [(place, False) for place in world.second_hand if _may_erase(world)]
        case StepKind.ACTIVATE:
            return [(None, False)] if _renewed(world) else []
        case StepKind.SELF_TEST:
            return [(None, False)] if _anything_done(world) else []
        case _:
            found = [(p, False) for p, (_, verdict) in world.boards.items() if kind in verdict.needs]
    return sorted(found, key=lambda where: _order(world, where[0]))


def _proposed(world: World) -> list[Place]:
    return [place for place, (board, _) in world.boards.items() if board.comes]


def _answering(world: World) -> list[Place]:
    """The boards that come out and can be read out first, where the tool is at hand anyway."""
    return [p for p, part in world.replaced.items() if _binding(world, part)] if _programmed(world) else []


def _anything_done(world: World) -> bool:
    """Whether there is any step before the last one, the self-test."""
    changed = _proposed(world) or world.replaced or world.loads
    return bool(changed) or any(verdict.needs for _, verdict in world.boards.values())


def _renewed(world: World) -> bool:
    """Whether a board that names or follows is new in the unit, so that it has to be set up again."""
    return any(_binding(world, world.boards[place][0].part) for place in _proposed(world))


def _order(world: World, place: Place) -> tuple[bool, int]:
    """The naming board first, the others as the catalogue has them."""
    return place.role != world.hub.naming_role, world.hub.order.get(place, -1)


def _binding(world: World, part: PartNumber) -> bool:
    return world.hub.parts[part].binding is not BindingPolicy.FREE


def _programmed(world: World) -> bool:
    """Whether anything in this world needs the programming tool."""
    by_tool = bool(world.loads) and StepKind.LOAD in world.hub.tool_steps
    needed = any(verdict.rank == FITS_WITH_TOOL for _, verdict in world.boards.values())
    return world.session or by_tool or needed


def _may_erase(world: World) -> bool:
    """A pair that moves without programming keeps its data: erasing alone never calls for the tool."""
    return _programmed(world) or StepKind.ERASE_OWNER_DATA not in world.hub.tool_steps


def _binds_something(before: Setup, after: Setup, action: Action) -> bool:
    """Whether a board that was blank before this step is bound after it."""
    if action.kind is StepKind.MOUNT and action.place is not None and action.board is not None:
        before = before.put(action.place, action.board)
    return any(
        board.binding is not None and place in before.boards and before.boards[place].binding is None
        for place, board in after.boards.items()
    )
