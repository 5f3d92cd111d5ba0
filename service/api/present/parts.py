"""A part, as the API shows it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.catalogue.model import Catalogue, Companion, Replacement
from service.domain.parts.chain import current, replaced_by
from service.domain.parts.functions import Function, Shared
from service.domain.parts.listed import ListedFor, listed_for
from service.domain.terms import ModelId, PartNumber
from service.words.names import Names


def part(
    compiled: CompiledCatalogue, number: PartNumber, names: Names, model: ModelId | None = None
) -> dict[str, Any]:
    """One part with its place in the chain and where it may go; with `model`, the chain for that model."""
    catalogue = names.catalogue
    of = catalogue.parts[number]
    ends = current(catalogue, of.number, model)
    shown: dict[str, Any] = {
        "number": of.number,
        "name": of.name,
        "role": of.role,
        "role_name": catalogue.roles[of.role].name,
        "binding": of.binding.value,
        "superseded": of.number not in ends,
        "current": list(ends),
        "replaces": [_replacement(row) for row in of.replaces],
        "replaced_by": list(replaced_by(catalogue, of.number, model)),
        "printed": list(of.printed),
        "features": dict(of.features),
        "markets": sorted(catalogue.markets if of.markets is None else of.markets),
        "listed_for": [_listed(row) for row in listed_for(compiled, of.number)],
        "goes_with": [_companion(catalogue, each) for each in of.companions],
    }
    if of.price is not None:
        shown["price"] = money(catalogue, of.price)
    if of.lead_days is not None:
        shown["lead_days"] = of.lead_days
    if of.release is not None:
        shown["release"] = catalogue.roles[of.role].releases[of.release]
    return shown


def money(catalogue: Catalogue, amount: Decimal) -> dict[str, str]:
    """An amount in the catalogue's currency, as a decimal in a text: never a binary fraction."""
    return {"amount": str(amount), "currency": catalogue.currency}


def functions(found: Sequence[Function], names: Names) -> list[dict[str, str]]:
    """The functions of a look-up, each with the role whose board carries it."""
    return [
        {
            "id": each.id,
            "name": names.own(each.name),
            "role": each.role,
            "board": names.catalogue.roles[each.role].name,
        }
        for each in found
    ]


def look_first(names: Names, shared: Shared) -> dict[str, str]:
    """The board and cable that several faults have in common."""
    shown = {"role": str(shared.role), "name": names.catalogue.roles[shared.role].name}
    return shown if shared.cable is None else {**shown, "cable": names.own(shared.cable)}


def _replacement(row: Replacement) -> dict[str, Any]:
    shown: dict[str, Any] = {"part": row.part, "both_ways": row.both_ways}
    return shown if row.models is None else {**shown, "models": sorted(row.models)}


def _listed(row: ListedFor) -> dict[str, Any]:
    shown: dict[str, Any] = {"model": row.model, "through": row.through}
    for name in ("serial_from", "serial_before", "date_from", "date_before"):
        bound = getattr(row.row, name)
        if bound is not None:
            shown[name] = str(bound)
    return shown


def _companion(catalogue: Catalogue, of: Companion) -> dict[str, Any]:
    shown: dict[str, Any] = {"number": of.number, "name": of.name}
    return shown if of.price is None else {**shown, "price": money(catalogue, of.price)}
