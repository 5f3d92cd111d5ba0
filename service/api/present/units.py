"""A unit and a board as they are known."""

from __future__ import annotations

from functools import partial
from typing import Any
from urllib.parse import quote, urlencode

from service.api.present.answer import abilities, place, plain_answer
from service.api.present.refusal import if_it_refuses
from service.api.present.serials import decoded, spans
from service.api.present.wording import Wording
from service.domain.catalogue.model import Catalogue
from service.domain.facts.identity import UnitFacts
from service.domain.facts.known import Known
from service.domain.facts.records import BLANK, BoardRecord
from service.domain.place import Place
from service.domain.terms import Clearance
from service.usecases.boards import KnownBoard
from service.usecases.caller import Caller, Scope, View
from service.usecases.units import KnownUnit, Occupant

KEPT = (
    "summary",
    "programming",
    "reasons",
    "clearance",
    "assumed",
    "ask",
    "would_fit_if",
    "cautions",
    "rests_on",
)
"""What the answer about the unit as it is says besides."""


def unit(catalogue: Catalogue, of: KnownUnit, wording: Wording, caller: Caller) -> dict[str, Any]:
    """One unit: decoded, recorded, its boards by role, what it can do and whether its boards agree."""
    candidates = partial(_candidates, of.facts.serial or "") if Scope.STOCK in caller.scopes else None
    about = plain_answer(of.answer, wording)
    capabilities = of.answer.capabilities
    return {
        **identity(catalogue, of.facts),
        "agreement": of.agreement.value,
        **{name: about[name] for name in KEPT if name in about},
        **({"if_it_refuses": if_it_refuses(catalogue, of.advice, wording, candidates)} if of.advice else {}),
        "boards": [_occupant(catalogue, each) for each in of.occupants],
        "capabilities": abilities(capabilities.after, wording) if capabilities else {},
        "accessories": dict(of.record.accessories) if of.record else {},
        "catalogue_revision": catalogue.revision,
    }


def _candidates(unit: str, of: Place) -> str:
    """Where the boards in stock for a place of a unit are found."""
    return f"/v1/units/{quote(unit, safe='')}/candidates?{urlencode(place(of))}"


def identity(catalogue: Catalogue, of: UnitFacts) -> dict[str, Any]:
    """Which unit it is."""
    shown: dict[str, Any] = {"serial": of.serial, "recorded": of.record is not None}
    if of.plate is not None:
        shown["decoded"] = decoded(of.plate, catalogue)
    shown["models"] = sorted(of.model.values or ())
    shown["identity_conflict"] = of.identity_conflict
    if of.market.values and of.market.certain:
        shown["market"] = next(iter(of.market.values))
    if of.made is not None:
        shown["made"] = spans(of.made)
    if of.record is not None:
        shown["in_service"] = of.record.in_service
        shown["version"] = of.record.version
    return shown


def board(catalogue: Catalogue, of: KnownBoard, caller: Caller) -> dict[str, Any]:
    """One board: what its label says and what is recorded of it."""
    shown: dict[str, Any] = {
        "serial": of.label.serial,
        "recorded": of.record is not None,
        "decoded": decoded(of.label, catalogue),
        "parts": [
            {"number": part.number, "name": part.name, "role": part.role}
            for part in (catalogue.parts[number] for number in of.parts if number in catalogue.parts)
        ],
        "clearance": _clearance(of.record, caller).value,
        **(_record(of.record) if of.record else {}),
    }
    return {**shown, "catalogue_revision": catalogue.revision}


def _record(of: BoardRecord) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "version": of.version,
        "conditions": sorted(each.value for each in of.conditions),
        "in_custody": of.in_custody,
        "tested": of.tested,
        "sold": of.sold,
    }
    if of.release is not None:
        shown["release"] = of.release
    binding = of.binding
    if binding.values is not None:
        shown["bound_models"] = sorted(binding.values - {BLANK})
        shown["may_be_blank"] = BLANK in binding.values
        shown["contradiction"] = binding.contradiction
    if of.held_serial is not None:
        shown["holds"] = of.held_serial
    if of.in_unit is not None and of.role is not None:
        shown["fitted_in"] = {
            "unit": of.in_unit,
            "role": of.role,
            **({"place": of.place} if of.place else {}),
        }
    return shown


def _clearance(record: BoardRecord | None, caller: Caller) -> Clearance:
    if caller.view is View.PUBLIC:
        return Clearance.NOT_CHECKED
    return Clearance.HELD if record is not None and record.holds else Clearance.NOTHING_KNOWN


def _occupant(catalogue: Catalogue, of: Occupant) -> dict[str, Any]:
    role = catalogue.roles[of.place.role]
    shown: dict[str, Any] = {
        **place(of.place),
        "name": role.name,
        "where": role.where,
        "recognise": role.recognise,
        "state": "empty" if of.empty else "recorded" if of.board is not None else "not_recorded",
        "parts": list(of.parts),
    }
    if of.board is not None:
        if of.board.serial:
            shown["serial"] = of.board.serial
        shown |= _binding(of.board.binding)
    return shown


def _binding(of: Known) -> dict[str, Any]:
    if of.values is None:
        return {}
    shown: dict[str, Any] = {"bindings": sorted(of.values)}
    return {**shown, "basis": of.basis.value} if of.basis else shown
