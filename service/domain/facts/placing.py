"""Into which place does a board of the question go? Its role, which of several equal places, and whether
the names that the question uses exist."""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.known import Known
from service.domain.facts.question import ImpossibleQuestion, Question, StatedBoard
from service.domain.place import Place
from service.domain.terms import ModelId, PartNumber, RoleId


def roles_of(
    compiled: CompiledCatalogue, stated: StatedBoard, part: Known, pointer: str
) -> tuple[RoleId, ...]:
    """The roles a board may have, in the catalogue's order: as stated, else those of the parts it may be."""
    catalogue = compiled.catalogue
    if stated.role is not None and stated.role not in catalogue.roles:
        raise ImpossibleQuestion("unknown_role", f"{pointer}/role", role=stated.role)
    for number in part.values or ():
        if number not in catalogue.parts:
            raise ImpossibleQuestion("unknown_part", pointer, part=number)
    possible = _roles_of_parts(compiled, part.values)
    if stated.role is None:
        return possible
    if part.values is not None and stated.role not in possible:
        raise ImpossibleQuestion(
            "role_and_part_differ", f"{pointer}/role", role=stated.role, part=min(part.values)
        )
    return (stated.role,)


@lru_cache(maxsize=4_096)
def _roles_of_parts(compiled: CompiledCatalogue, numbers: frozenset[str] | None) -> tuple[RoleId, ...]:
    """The roles of these parts, or of all that there are."""
    catalogue = compiled.catalogue
    if numbers is None:
        possible = {role for role, listed in compiled.parts_of_role.items() if listed}
    else:
        possible = {catalogue.parts[PartNumber(number)].role for number in numbers}
    return tuple(role for role in catalogue.roles if role in possible)


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
    places = _places(role, names)
    if len(places) == 1:
        return places[0]
    free = [place for place in places if place not in taken] or places
    return next((place for place in free if place in empty), free[0])


@lru_cache(maxsize=1_024)
def _places(role: RoleId, names: tuple[str, ...]) -> tuple[Place, ...]:
    return tuple(Place(role, name) for name in names)


def refuse_unknown_names(compiled: CompiledCatalogue, question: Question) -> None:
    """Every model and market that a question names must be one that the catalogue knows."""
    unit = question.unit
    _refuse_unknown(compiled, unit.model, "/unit/model")
    _refuse_unknown(compiled, unit.papers_model, "/unit/papers_model")
    _refuse_unknown(compiled, unit.read_model, "/unit/read/model")
    for prefix, boards in (("/unit/boards", unit.boards), ("/boards", question.boards)):
        for index, board in enumerate(boards):
            for told, statement in (("claimed", board.claimed), ("read", board.read)):
                if statement.bound_model is not None:
                    _refuse_unknown(compiled, statement.bound_model, f"{prefix}/{index}/{told}/bound_model")
    if unit.market is not None and unit.market not in compiled.catalogue.markets:
        raise ImpossibleQuestion("unknown_market", "/unit/market", market=unit.market)


def _refuse_unknown(compiled: CompiledCatalogue, model: ModelId | None, pointer: str) -> None:
    if model is not None and model not in compiled.models:
        raise ImpossibleQuestion("unknown_model", pointer, model=model)
