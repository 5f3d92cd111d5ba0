"""What a unit's main board reports: a word about the unit, and a reading of that board. It is both."""

from __future__ import annotations

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import (
    NOTHING_STATED,
    ImpossibleQuestion,
    StatedBoard,
    StatedUnit,
    Statement,
)


def boards_with_report(unit: StatedUnit, compiled: CompiledCatalogue) -> tuple[StatedBoard, ...]:
    """The stated boards of a unit; what its main board reports is a reading of its naming board."""
    if unit.read_model is None and unit.read_serial is None:
        return unit.boards
    roles = sorted(compiled.naming_roles)
    if len(roles) != 1:
        raise ImpossibleQuestion("role_needed", "/unit/read")
    for index, board in enumerate(unit.boards):
        if board.role == roles[0]:
            apart = NOTHING_STATED._replace(part=board.read.part, release=board.read.release)
            if board.empty or board.read != apart:
                raise ImpossibleQuestion("read_twice", f"/unit/boards/{index}/read")
            merged = board._replace(read=_report(unit)._replace(part=apart.part, release=apart.release))
            return (*unit.boards[:index], merged, *unit.boards[index + 1 :])
    return (*unit.boards, StatedBoard(role=roles[0], read=_report(unit)))


def unit_with_reading(unit: StatedUnit, compiled: CompiledCatalogue) -> StatedUnit:
    """A reading of the unit's own naming board tells as much of the unit as a report of that board."""
    if unit.read_model is not None or unit.read_serial is not None:
        return unit
    for board in unit.boards:
        number = board.read.part or board.claimed.part
        part = compiled.catalogue.parts.get(number) if number else None
        if (board.role or (part.role if part else None)) in compiled.naming_roles:
            return unit._replace(read_model=board.read.bound_model, read_serial=board.read.holds or None)
    return unit


def _report(unit: StatedUnit) -> Statement:
    binding = "bound" if unit.read_model else None
    return Statement(binding=binding, bound_model=unit.read_model, holds=unit.read_serial)
