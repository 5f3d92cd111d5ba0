"""The steps of an answer: those common to all fitting worlds are plain, the others say when.

Needs vary place by place, so it is enough to look at one fitting world of each hub, and at what
changes when one place at a time takes another of its possible boards.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from service.domain.catalogue.naming import release_position
from service.domain.facts.case import BoardFacts, CaseFacts
from service.domain.fit.joint import Joint, Kind, Way
from service.domain.fit.table import ATTRIBUTES, values_of
from service.domain.fit.worlds import Cell, Row, untouched
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
from service.domain.software.versions import Version, is_version, parse_version
from service.domain.steps.plan import Step, World, plan
from service.domain.terms import Basis, BindingPolicy, Holds, PartNumber, StepKind


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStep:
    """A step with the worlds it is for."""

    step: Step
    condition: tuple[str, tuple[str, ...]] | None = None
    """None: always. Else a fact and the values of it for which the step is done; no values: it depends
    on the fact together with others."""


def steps_of(facts: CaseFacts, rows: Sequence[Row]) -> list[PlannedStep]:
    """The merged plan of all fitting worlds, in the order of work.

    Empty where no world fits, and while the machine's family or the kind of board is open: a plan is
    for one order of work.
    """
    fitting = [row for row in rows if row.mask >> OUT_OF_SCOPE + 1]
    if len({(row.hub.family.id, row.open_role) for row in fitting}) > 1:
        return []
    worlds = [world for row in fitting for world in _worlds(facts, row)]
    if not worlds:
        return []
    plans = [plan(variant.world)[0] for variant in worlds]
    if len(plans) == 1:
        return [PlannedStep(step=step) for step in plans[0]]
    facts_of = [_facts(variant) for variant in worlds]
    return [
        PlannedStep(step=step, condition=_condition(step, inside, facts_of)) for step, inside in _merge(plans)
    ]


Boards = Mapping[Place, Sequence[Cell]]
"""In each place the boards with equal needs."""
Ways = Sequence[tuple[Joint, Sequence[Way]]]
"""For boards whose software has to go together the ways with equal loads."""


class Variant(NamedTuple):
    """A world, and what a plan does the same with."""

    world: World
    boards: Boards
    ways: Ways


class _Choice(NamedTuple):
    """Parts of a joint's boards with what is to be loaded then."""

    parts: tuple[Kind, ...]
    groups: Mapping[Place, list[list[Cell]]]
    ways: list[Way]


def _worlds(case: CaseFacts, row: Row) -> Iterator[Variant]:
    """One fitting world of a hub, and for each place one for each other set of needs it may have there; and
    of boards whose software has to go together one for each other sequence of loads."""
    joined = {place for joint in row.joints for place in joint.places}
    free = {place: _by_needs(there.cells) for place, there in row.places.items() if place not in joined}
    choices = [_choices(row, joint) for joint in row.joints]
    first = [each[0] for each in choices]
    yield from _of_choice(case, row, free, first, free.keys() | joined)
    for at, of_joint in enumerate(choices):
        seen = {first[at].parts}
        for other in of_joint[1:]:
            vary = set[Place]() if other.parts in seen else other.groups.keys()
            seen.add(other.parts)
            yield from _of_choice(case, row, free, [*first[:at], other, *first[at + 1 :]], vary)


def _choices(row: Row, joint: Joint) -> list[_Choice]:
    """What may be done with a joint's boards: the fitting ways, those with equal parts and loads together."""
    alike: dict[object, list[Way]] = {}
    for way in joint.ways:
        if way.rank > OUT_OF_SCOPE:
            alike.setdefault((way.parts, way.loads), []).append(way)
    found = []
    for ways in alike.values():
        parts = ways[0].parts
        boards = zip(joint.places, parts, strict=True)
        groups = {
            place: _by_needs(cell for cell in row.places[place].cells if cell.board.part in kind)
            for place, kind in boards
        }
        if all(groups.values()):
            found.append(_Choice(parts, groups, ways))
    return found


def _of_choice(
    case: CaseFacts,
    row: Row,
    free: Mapping[Place, list[list[Cell]]],
    chosen: Sequence[_Choice],
    vary: Collection[Place],
) -> Iterator[Variant]:
    """A world with these choices, and one for each other set of needs in the places that vary."""
    groups = {**free}
    for choice in chosen:
        groups |= choice.groups
    groups = {place: groups[place] for place in row.places}
    ways = [(joint, choice.ways) for joint, choice in zip(row.joints, chosen, strict=True)]
    first = {place: alike[0] for place, alike in groups.items()}
    yield Variant(_world(case, row, first, ways), first, ways)
    for place in vary:
        for other in groups[place][1:]:
            boards = {**first, place: other}
            yield Variant(_world(case, row, boards, ways), boards, ways)


def _by_needs(cells: Iterable[Cell]) -> list[list[Cell]]:
    """The fitting boards of a place, those that a plan does the same with together."""
    groups: dict[object, list[Cell]] = {}
    for cell in cells:
        if cell.verdict.rank > OUT_OF_SCOPE:
            key = cell.verdict.needs, cell.board.binding is None, _second_hand(cell)
            groups.setdefault(key, []).append(cell)
    return list(groups.values())


def _facts(variant: Variant) -> dict[str, frozenset[str]]:
    """The values of each fact with which the plan of this world is the same."""
    hub = variant.world.hub
    facts = {"unit.model": frozenset({str(hub.model.id)})}
    for place, cells in variant.boards.items():
        boards = [values_of(hub, cell.board) for cell in cells]
        facts |= {f"{place}.{name}": frozenset(b[name] for b in boards) for name in ATTRIBUTES}
    for joint, ways in variant.ways:
        for at, place in enumerate(joint.places):
            told = [way.releases[at] for way in ways if way.releases]
            facts[f"{place}.release"] = frozenset(name for names in told for name in names)
    return facts


def _world(case: CaseFacts, row: Row, boards: Boards, ways: Ways) -> World:
    cells = {place: alike[0] for place, alike in boards.items()}
    proposed = {
        board.place: board
        for board in case.proposed
        if board.place in cells and cells[board.place].board.comes
    }
    return World(
        hub=row.hub,
        boards={place: (cell.board, cell.verdict) for place, cell in cells.items()},
        replaced={place: part for place in proposed if (part := _part_there(case, row, place)) is not None},
        second_hand=frozenset(p for p, cell in cells.items() if _second_hand(cell)),
        unread=frozenset(p for p, b in proposed.items() if _unread(row, cells[p], b))
        | _gives_its_model(case, row, cells),
        loads=tuple(_loads(row, ways)),
        releases=dict(_carried(ways)),
    )


def _loads(row: Row, ways: Ways) -> Iterator[tuple[Place, int]]:
    for _, alike in ways:
        for place, version in alike[0].loads:
            position = release_position(row.hub.compiled.catalogue, place.role, str(version))
            assert position is not None, "what is loaded is listed"
            yield place, position


def _carried(ways: Ways) -> Iterator[tuple[Place, Version]]:
    """What is on the boards before anything is loaded, as far as a version says it."""
    for joint, alike in ways:
        for place, names in zip(joint.places, alike[0].releases, strict=False):
            if is_version(names[0]):
                yield place, parse_version(names[0])


def _part_there(case: CaseFacts, row: Row, place: Place) -> PartNumber | None:
    """The part that sits in a place now, as far as known; None where the place is empty."""
    if place in case.empty:
        return None
    present = case.present_at(place) or untouched(row.hub, case.assume, place)
    if present is None:
        return None
    known = sorted(present.part.values or row.hub.factory_parts(place.role))
    return PartNumber(known[0]) if known else row.hub.compiled.parts_of_role[place.role][0]


def _second_hand(cell: Cell) -> bool:
    board = cell.board
    return board.binding is not None and board.holds in (Holds.IDLE, Holds.IN_SERVICE)


def _unread(row: Row, cell: Cell, board: BoardFacts) -> bool:
    """Whether the binding of a proposed board rests on less than a reading or a record."""
    if row.hub.parts[cell.board.part].binding is BindingPolicy.FREE:
        return False
    return not _is_read(board)


def _is_read(board: BoardFacts) -> bool:
    return board.binding.certain and board.binding.basis in (Basis.READ, Basis.RECORDED)


def _gives_its_model(case: CaseFacts, row: Row, cells: Mapping[Place, Cell]) -> frozenset[Place]:
    """The naming board that stays, where a follower is bound by it and nobody has read it."""
    if not any(StepKind.ASSIGN in cell.verdict.needs for cell in cells.values()):
        return frozenset()
    naming = (p for p, c in cells.items() if p.role == row.hub.naming_role and not c.board.comes)
    known = {board.place for board in case.present if _is_read(board)}
    return frozenset(
        place for place in naming if cells[place].board.binding is not None and place not in known
    )


def _merge(plans: Sequence[list[Step]]) -> list[tuple[Step, list[bool]]]:
    """All steps of all plans in an order that every plan agrees with, each with the plans that it is in. Each
    step is there once, unless plans load the same in different orders."""
    merged: list[tuple[Step, list[bool]]] = []
    for at, steps in enumerate(plans):
        position = 0
        for step in steps:
            later = range(position, len(merged))
            found = next((i for i in later if _name(merged[i][0]) == _name(step)), None)
            if found is None:
                merged.insert(position, (step, [False] * len(plans)))
                found = position
            known, inside = merged[found]
            merged[found] = replace(known, undoable=known.undoable and step.undoable), inside
            inside[at] = True
            position = found + 1
    return merged


def _name(step: Step) -> tuple[object, ...]:
    return step.kind, step.place, step.old, step.procedure.subject, step.release


def _condition(
    step: Step, inside: Sequence[bool], worlds: Sequence[Mapping[str, frozenset[str]]]
) -> tuple[str, tuple[str, ...]] | None:
    if all(inside):
        return None
    told = {fact for values in worlds for fact in values}
    facts = sorted(told, key=lambda fact: (not _at(step, fact), fact != "unit.model", fact))
    for fact in facts:
        when = _union(fact, worlds, inside)
        if not when & _union(fact, worlds, [not there for there in inside]):
            return fact, tuple(sorted(map(str, when)))
    return facts[0], ()


def _union(
    fact: str, worlds: Sequence[Mapping[str, frozenset[str]]], chosen: Sequence[bool]
) -> frozenset[str]:
    """All values of a fact in the chosen worlds."""
    values = [facts.get(fact, frozenset()) for facts, there in zip(worlds, chosen, strict=True) if there]
    return frozenset[str]().union(*values)


def _at(step: Step, fact: str) -> bool:
    return step.place is not None and fact.startswith(f"{step.place}.")
