"""A model, as the API shows it."""

from __future__ import annotations

from typing import Any

from service.domain.catalogue.model import Allowance, Catalogue, Model, ModelRole


def model(catalogue: Catalogue, of: Model) -> dict[str, Any]:
    """One model with its roles and what it is allowed."""
    family = catalogue.families[of.family]
    return {
        "id": of.id,
        "name": of.name,
        "family": of.family,
        "family_name": family.name,
        "covered": family.covered,
        "markets": sorted(of.markets),
        "roles": [_role(catalogue, use) for use in of.roles.values()],
        "allows": [_allowance(catalogue, capability, of.allows[capability]) for capability in of.allows],
    }


def _role(catalogue: Catalogue, use: ModelRole) -> dict[str, Any]:
    role = catalogue.roles[use.role]
    shown: dict[str, Any] = {
        "role": role.id,
        "name": role.name,
        "where": role.where,
        "recognise": role.recognise,
        "places": [place for place in role.places if place],
        "required": use.required,
        "features": sorted(use.features),
        "functions": [{"id": function, "name": name} for function, name in role.functions.items()],
    }
    if role.connection is not None:
        shown["connected"] = {"through": role.connection.through, "cable": role.connection.cable}
    if use.markets is not None:
        shown["markets"] = sorted(use.markets)
    return shown


def _allowance(catalogue: Catalogue, capability: Any, allowance: Allowance) -> dict[str, Any]:
    known = catalogue.capabilities[capability]
    shown: dict[str, Any] = {
        "capability": known.id,
        "name": known.name,
        "amount": allowance.amount,
        "more": allowance.overload.value,
        "planned": allowance.planned,
    }
    if allowance.markets is not None:
        shown["markets"] = sorted(allowance.markets)
    return shown
