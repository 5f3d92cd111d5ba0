"""Into which place does a board of the question go? Its role, which of several equal places, and whether
the names that the question uses exist."""

from __future__ import annotations

from collections.abc import Collection

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.known import Known
from service.domain.facts.question import ImpossibleQuestion, Question, StatedBoard
from service.domain.place import Place
from service.domain.terms import PartNumber, RoleId


def roles_of(
    compiled: CompiledCatalogue, stated: StatedBoard, part: Known, pointer: str
) -> tuple[RoleId, ...]:
    """The roles a board may have, in the catalogue's order: as stated, else those of the parts it may be."""
    catalogue = compiled.catalogue
    if stated.role is not None and stated.role not in catalogue.roles:
        raise ImpossibleQuestion("unknown_role", f"{pointer}/role", role=stated.role)
    unknown = [number for number in part.values or () if number not in catalogue.parts]
    if unknown:
        raise ImpossibleQuestion("unknown_part", pointer, part=unknown[0])
    if part.values is None:
        possible = {role for role, numbers in compiled.parts_of_role.items() if numbers}
    else:
        possible = {catalogue.parts[PartNumber(number)].role for number in part.values}
    if stated.role is None:
        return tuple(role for role in catalogue.roles if role in possible)
    if part.values is not None and stated.role not in possible:
        raise ImpossibleQuestion(
            "role_and_part_differ", f"{pointer}/role", role=stated.role, part=min(part.values)
        )
    return (stated.role,)


def place_of(
    compiled: CompiledCatalogue,
    stated: StatedBoard,
    role: RoleId,
    pointer: str,
    taken: Collection[Place] = (),
    empty: Collection[Place] = (),
) -> Place:
    """The place: as stated, else an empty one, else the first that no other board of the question takes."""
    names = compiled.catalogue.roles[role].places
    if stated.place is not None:
        if stated.place not in names:
            raise ImpossibleQuestion(
                "unknown_place", f"{pointer}/place", place=stated.place, places=", ".join(names)
            )
        return Place(role, stated.place)
    places = [Place(role, name) for name in names]
    free = [place for place in places if place not in taken] or places
    return next((place for place in free if place in empty), free[0])


def refuse_unknown_names(compiled: CompiledCatalogue, question: Question) -> None:
    """Every model and market that a question names must be one that the catalogue knows."""
    unit = question.unit
    models = [
        ("/unit/model", unit.model),
        ("/unit/papers_model", unit.papers_model),
        ("/unit/read/model", unit.read_model),
    ]
    for prefix, boards in (("/unit/boards", unit.boards), ("/boards", question.boards)):
        for index, board in enumerate(boards):
            models.append((f"{prefix}/{index}/claimed/bound_model", board.claimed.bound_model))
            models.append((f"{prefix}/{index}/read/bound_model", board.read.bound_model))
    for pointer, model in models:
        if model is not None and model not in compiled.models:
            raise ImpossibleQuestion("unknown_model", pointer, model=model)
    if unit.market is not None and unit.market not in compiled.catalogue.markets:
        raise ImpossibleQuestion("unknown_market", "/unit/market", market=unit.market)
