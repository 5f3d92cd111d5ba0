"""The steps of an answer: those common to all fitting worlds are plain, the others say when.

Needs vary place by place, so it is enough to look at one fitting world of each hub, and at what
changes when one place at a time takes another of its possible boards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.domain.facts.case import BoardFacts, CaseFacts
from service.domain.fit.table import ATTRIBUTES, values_of
from service.domain.fit.worlds import Cell, Row, untouched
from service.domain.place import Place
from service.domain.rules import OUT_OF_SCOPE
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
    plans = [plan(world)[0] for world, _ in worlds]
    if len(plans) == 1:
        return [PlannedStep(step=step) for step in plans[0]]
    merged = _merge(plans)
    facts_of = [_facts(world) for world in worlds]
    return [PlannedStep(step=step, condition=_condition(step, plans, facts_of)) for step in merged]


Alike = Mapping[Place, Sequence[Cell]]
"""The boards of a world, and in each place those with equal needs."""
Variant = tuple[World, Alike]


def _worlds(case: CaseFacts, row: Row) -> Iterator[Variant]:
    """One fitting world of a hub, and for each place one for each other set of needs it may have there."""
    groups = {place: _by_needs(there.cells) for place, there in row.places.items()}
    first = {place: alike[0] for place, alike in groups.items()}
    yield _variant(case, row, first)
    for place, alike in groups.items():
        for other in alike[1:]:
            yield _variant(case, row, {**first, place: other})


def _by_needs(cells: Iterable[Cell]) -> list[list[Cell]]:
    """The fitting boards of a place, those that a plan does the same with together."""
    groups: dict[object, list[Cell]] = {}
    for cell in cells:
        if cell.verdict.rank > OUT_OF_SCOPE:
            key = cell.verdict.needs, cell.board.binding is None, _second_hand(cell)
            groups.setdefault(key, []).append(cell)
    return list(groups.values())


def _variant(case: CaseFacts, row: Row, alike: Alike) -> Variant:
    return _world(case, row, {place: cells[0] for place, cells in alike.items()}), alike


def _facts(variant: Variant) -> dict[str, frozenset[str]]:
    """The values of each fact with which the plan of this world is the same."""
    world, alike = variant
    facts = {"unit.model": frozenset({str(world.hub.model.id)})}
    for place, cells in alike.items():
        boards = [values_of(world.hub, cell.board) for cell in cells]
        facts |= {f"{place}.{name}": frozenset(b[name] for b in boards) for name in ATTRIBUTES}
    return facts


def _world(case: CaseFacts, row: Row, cells: dict[Place, Cell]) -> World:
    proposed = {
        board.place: board
        for board in case.proposed
        if board.place in cells and cells[board.place].board.proposed
    }
    return World(
        hub=row.hub,
        boards={place: (cell.board, cell.verdict) for place, cell in cells.items()},
        replaced={place: part for place in proposed if (part := _part_there(case, row, place)) is not None},
        second_hand=frozenset(p for p, cell in cells.items() if p in proposed and _second_hand(cell)),
        unread=frozenset(p for p, b in proposed.items() if _unread(row, cells[p], b))
        | _gives_its_model(case, row, cells),
    )


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
    naming = (p for p, c in cells.items() if p.role == row.hub.naming_role and not c.board.proposed)
    known = {board.place for board in case.present if _is_read(board)}
    return frozenset(
        place for place in naming if cells[place].board.binding is not None and place not in known
    )


def _merge(plans: Sequence[list[Step]]) -> list[Step]:
    """All steps of all plans once, in an order that every plan agrees with."""
    merged: list[Step] = []
    for steps in plans:
        position = 0
        for step in steps:
            found = next((i for i, other in enumerate(merged) if _same(step, other)), None)
            if found is None:
                merged.insert(position, step)
                position += 1
            else:
                merged[found] = replace(merged[found], undoable=merged[found].undoable and step.undoable)
                position = found + 1
    return merged


def _same(one: Step, other: Step) -> bool:
    return _name(one) == _name(other)


def _name(step: Step) -> tuple[object, ...]:
    return step.kind, step.place, step.old, step.procedure.subject


def _condition(
    step: Step, plans: Sequence[list[Step]], worlds: Sequence[Mapping[str, frozenset[str]]]
) -> tuple[str, tuple[str, ...]] | None:
    inside = [any(_same(step, other) for other in steps) for steps in plans]
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
