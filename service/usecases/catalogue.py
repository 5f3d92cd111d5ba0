"""Look-ups in the catalogue: models and parts, as the counter asks for them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Model, Part
from service.domain.parts.finding import Wanted, find, roles_in_order, shared
from service.domain.parts.functions import Function, Shared, by_name, functions
from service.domain.parts.numbers import by_number
from service.domain.terms import MarketId, ModelId, RoleId
from service.usecases.mending import Fault, NotFound, Refused, hint, shown

MAX_FUNCTIONS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundParts:
    """What a part look-up found."""

    parts: tuple[Part, ...]
    """In the order in which to look: the shared board first, then the faults' own, by number."""
    order: tuple[RoleId, ...]
    """The roles in that order."""
    functions: tuple[Function, ...]
    shared: Shared | None


def model_of(compiled: CompiledCatalogue, model: str) -> Model:
    """One model. Raises NotFound."""
    found = compiled.models.get(ModelId(model.strip().lower()))
    if found is None:
        raise NotFound("model", model, hint(model, compiled.models, found_at="/v1/models"))
    return found.model


def models_of(compiled: CompiledCatalogue, family: str | None, market: str | None) -> tuple[Model, ...]:
    """The models of a family and market, by id. Raises Refused for an id that does not exist."""
    catalogue = compiled.catalogue
    checked = _Names(compiled)
    checked.known("family", family, catalogue.families)
    checked.known("market", market, catalogue.markets)
    checked.settle()
    fitting = (
        model
        for model in catalogue.models.values()
        if family in (None, model.family) and (market is None or market in model.markets)
    )
    return tuple(sorted(fitting, key=lambda model: model.id))


def part_of(compiled: CompiledCatalogue, number: str) -> Part:
    """The part of an order number, or of a number that is printed on the boards of one part alone.

    Raises NotFound.
    """
    found = by_number(compiled.catalogue, number)
    if len(found) == 1:
        return found[0]
    if not found:
        raise NotFound("part", number, hint(number, compiled.catalogue.parts, found_at="/v1/parts"))
    listed = ", ".join(sorted(part.number for part in found))
    raise NotFound("part", number, f"printed on boards of several parts, ask for one of {listed}")


def find_parts(
    compiled: CompiledCatalogue,
    *,
    model: str | None = None,
    market: str | None = None,
    role: str | None = None,
    function: str | None = None,
    number: str | None = None,
) -> FoundParts:
    """The parts that a look-up asks for. `function` may hold several, separated by commas.

    Raises Refused for names that do not exist.
    """
    catalogue = compiled.catalogue
    checked = _Names(compiled)
    checked.known("model", model, catalogue.models)
    checked.known("market", market, catalogue.markets)
    checked.known("role", role, catalogue.roles)
    wanted_functions = checked.functions(function)
    checked.settle()
    wanted = Wanted(
        model=ModelId(model) if model else None,
        market=MarketId(market) if market else None,
        role=RoleId(role) if role else None,
        functions=wanted_functions,
        number=number,
    )
    return FoundParts(
        parts=find(compiled, wanted),
        order=roles_in_order(compiled, wanted),
        functions=wanted_functions,
        shared=shared(compiled, wanted),
    )


class _Names:
    """Checks the names of a look-up against the catalogue and tells all faults at once."""

    def __init__(self, compiled: CompiledCatalogue) -> None:
        self._catalogue = compiled.catalogue
        self._faults: list[Fault] = []

    def known(self, parameter: str, name: str | None, names: Iterable[str]) -> None:
        if name is not None and name not in names:
            mend = hint(name, names, found_at="/v1/models")
            self._faults.append(
                Fault((parameter,), f"the catalogue has no {parameter} {shown(name)}: {mend}")
            )

    def functions(self, text: str | None) -> tuple[Function, ...]:
        asked = [each for each in (text or "").split(",") if each.strip()]
        if text is not None and not 0 < len(asked) <= MAX_FUNCTIONS:
            mend = f"give one to {MAX_FUNCTIONS} functions, separated by commas"
            self._faults.append(Fault(("function",), mend))
            return ()
        return tuple(dict.fromkeys(found for each in asked for found in self._function(each.strip())))

    def _function(self, text: str) -> tuple[Function, ...]:
        found = by_name(self._catalogue, text)
        if not found:
            names = [name for f in functions(self._catalogue) for name in (f.id, f.name)]
            mend = hint(text, names, found_at="the roles of a model at /v1/models")
            self._faults.append(Fault(("function",), f"no board carries {shown(text)}: {mend}"))
        return found

    def settle(self) -> None:
        if self._faults:
            raise Refused(self._faults)
