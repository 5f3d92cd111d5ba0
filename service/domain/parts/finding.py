"""The parts that answer a look-up, in the order in which a person would try them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Part
from service.domain.parts.functions import Function, Shared, shared_connection
from service.domain.parts.listed import reaches
from service.domain.parts.numbers import by_number
from service.domain.terms import MarketId, ModelId, RoleId


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a look-up asks for; what is left open narrows nothing."""

    model: ModelId | None = None
    market: MarketId | None = None
    role: RoleId | None = None
    functions: Sequence[Function] = ()
    """What stopped working: all of it, so the parts of every role that carries some of it."""
    number: str | None = None


def shared(compiled: CompiledCatalogue, wanted: Wanted) -> Shared | None:
    """The board and cable that all the faults of a look-up have in common."""
    return shared_connection(compiled.catalogue, [function.role for function in wanted.functions])


def roles_in_order(compiled: CompiledCatalogue, wanted: Wanted) -> tuple[RoleId, ...]:
    """The roles to look at: a shared connection's board first, then the faults in the order given."""
    if wanted.role is not None:
        return (wanted.role,)
    if not wanted.functions:
        return tuple(compiled.catalogue.roles)
    common = shared(compiled, wanted)
    first = [common.role] if common else []
    return tuple(dict.fromkeys([*first, *(function.role for function in wanted.functions)]))


def find(compiled: CompiledCatalogue, wanted: Wanted) -> tuple[Part, ...]:
    """The parts of a look-up, by `place_in_order`."""
    order = roles_in_order(compiled, wanted)
    parts = compiled.catalogue.parts
    pool = (
        by_number(compiled.catalogue, wanted.number) if wanted.number is not None else tuple(parts.values())
    )
    found = [part for part in pool if part.role in order and _suits(compiled, part, wanted)]
    return tuple(sorted(found, key=lambda part: place_in_order(order, part)))


def place_in_order(order: Sequence[RoleId], part: Part) -> tuple[int, str]:
    """The sort key of a part: its role's place in the order, then its number."""
    return order.index(part.role), part.number


def _suits(compiled: CompiledCatalogue, part: Part, wanted: Wanted) -> bool:
    if wanted.market is not None and part.markets is not None and wanted.market not in part.markets:
        return False
    return wanted.model is None or reaches(compiled, part.number, wanted.model)
