"""Where a board can go, and which boards in stock can go somewhere."""

from __future__ import annotations

from typing import Any

from service.api.present.answer import minutes, place
from service.api.present.parts import money
from service.api.present.units import board as whole_board
from service.api.present.units import identity
from service.api.present.wording import Wording
from service.domain.catalogue.model import Catalogue, Part
from service.domain.fit.answer import Answer
from service.domain.fit.conclusion import GroundedReason
from service.domain.steps.workers import programmers
from service.domain.terms import Programming
from service.store.vacancies import Vacancy
from service.usecases.caller import Caller
from service.usecases.candidates import Candidate, Candidates
from service.usecases.destinations import Destinations
from service.usecases.shelving import price_of
from service.usecases.unidentified import Unidentified

OF_BOARD = ("serial", "recorded", "parts", "clearance", "sold", "conditions", "fitted_in")


def destinations(catalogue: Catalogue, of: Destinations, wording: Wording, caller: Caller) -> dict[str, Any]:
    """Where a board can go, without the cursor."""
    known = whole_board(catalogue, of.board, caller)
    return {
        **{name: known[name] for name in OF_BOARD if name in known},
        "summary": wording.destinations(of.board.record, of.board.parts, of.models),
        "models": [
            {"model": model, "name": catalogue.models[model].name, **_short(answer, wording)}
            for model, answer in of.models.items()
        ],
        "units": [_unit(vacancy, answer, wording) for vacancy, answer in of.units.items()],
        "catalogue_revision": catalogue.revision,
    }


def candidates(catalogue: Catalogue, of: Candidates, wording: Wording) -> dict[str, Any]:
    """A page of boards in stock, without the cursor."""
    return {
        "unit": identity(catalogue, of.unit),
        **place(of.place),
        **({} if of.items or of.unidentified else {"summary": wording.no_candidate(of.none)}),
        "items": [_candidate(catalogue, each, wording) for each in of.items],
        "unidentified": [_unidentified(catalogue, each, wording) for each in of.unidentified],
        "catalogue_revision": catalogue.revision,
    }


def _unit(of: Vacancy, answer: Answer, wording: Wording) -> dict[str, Any]:
    return {
        "unit": of.unit,
        "models": sorted(answer.case.unit.model.values or ()),
        **place(of.place),
        **_short(answer, wording),
        "clearance": _clearance(answer),
    }


def _candidate(catalogue: Catalogue, of: Candidate, wording: Wording) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "serial": of.record.serial,
        "part": _part(catalogue.parts[of.part.number]),
        "bound": of.bound.value,
        "tested": of.record.tested,
        **_short(of.answer, wording),
        "clearance": _clearance(of.answer),
    }
    price = price_of(of.part, of.bound)
    if price is not None:
        shown["price"] = money(catalogue, price)
    return shown if of.record.release is None else {**shown, "release": of.record.release}


def _unidentified(catalogue: Catalogue, of: Unidentified, wording: Wording) -> dict[str, Any]:
    return {
        "serial": of.record.serial,
        "parts": [_part(catalogue.parts[number]) for number in of.parts],
        "tested": of.record.tested,
        **_short(of.answer, wording),
        "clearance": _clearance(of.answer),
    }


def _part(of: Part) -> dict[str, str]:
    return {"number": of.number, "name": of.name, "role": of.role}


def _short(of: Answer, wording: Wording) -> dict[str, Any]:
    """An answer in short: the outcome, what is to be programmed, and the deciding reasons."""
    tool = of.programming in (Programming.NEEDED, Programming.UNKNOWN)
    work: dict[str, Any] = {
        "needed": of.programming.value,
        "who": [who.value for who in programmers(of.conclusion.steps)] if tool else [],
    }
    return {
        "outcome": of.outcome.value,
        "summary": wording.summary(of),
        "programming": work if of.minutes is None else {**work, "minutes": minutes(of.minutes)},
        "reasons": [_reason(each, wording) for each in of.reasons if each.reason.deciding],
    }


def _reason(of: GroundedReason, wording: Wording) -> dict[str, Any]:
    where = place(of.reason.place) if of.reason.place.role else {}
    return {
        "code": of.reason.code,
        **where,
        "certain": of.reason.certain,
        "text": wording.reason(of),
    }


def _clearance(of: Answer) -> dict[str, str]:
    return {
        "board": of.clearance.board.value,
        "unit": of.clearance.unit.value,
        "donor": of.clearance.donor.value,
    }
