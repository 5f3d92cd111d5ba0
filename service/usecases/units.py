"""What a unit is, what sits in it, whether its boards agree, which parts are for it (Q1, Q2, Q9)."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.case import BoardCase
from service.domain.facts.identity import UnitFacts, unit_facts
from service.domain.facts.question import Question, StatedUnit
from service.domain.facts.records import UnitRecord
from service.domain.fit.answer import Answer
from service.domain.fit.mending import Advice, advice, new_boards
from service.domain.fit.own_boards import surely_not_usable
from service.domain.parts.for_unit import UnitPart, parts_of_unit
from service.domain.parts.functions import Function, Shared
from service.domain.place import Place
from service.domain.serials import Subject, Unreadable, decode
from service.domain.terms import Fit, Means, PartNumber, Programming, Rule
from service.usecases.caller import Caller, View
from service.usecases.catalogue import find_parts
from service.usecases.fit import check
from service.usecases.mending import NotFound, read_again
from service.usecases.shop import Shop


class Agreement(StrEnum):
    """Whether the boards of a unit agree, which is the first thing to know when it refuses to run. Closed."""

    AGREE = "agree"
    NOT_INTRODUCED = "not_introduced"
    """They agree on the model; some programming between them is still missing."""
    DISAGREE = "disagree"
    """A board was programmed for another model: it has to change."""
    INCOMPLETE = "incomplete"
    """A board that the model requires is missing, or lacks what the model requires of it."""
    RELEASES_DISAGREE = "releases_disagree"
    """The software of its boards does not go together, and no loads bring it together."""
    NOT_USABLE = "not_usable"
    """They may agree, but one of them must not be used as it is."""
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Occupant:
    """What sits in one place of a unit."""

    place: Place
    empty: bool
    board: BoardCase | None
    """The board that is recorded there; None where nothing is recorded."""
    parts: tuple[PartNumber, ...]
    """The parts it may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownUnit:
    """A unit as it is known."""

    facts: UnitFacts
    record: UnitRecord | None
    agreement: Agreement
    occupants: tuple[Occupant, ...]
    answer: Answer
    """The answer about the unit as it is, with nothing proposed."""
    advice: Advice | None
    """What to think of and to do if it refuses to run; None for a unit that is out of service."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsOfUnit:
    """The parts for one very unit."""

    facts: UnitFacts
    parts: tuple[UnitPart, ...]
    functions: tuple[Function, ...]
    shared: Shared | None


def known_unit(shop: Shop, caller: Caller, serial: str, means: Means = Means.COUNTER) -> KnownUnit:
    """One unit by its plate serial, told to somebody of these means; the public is a customer.

    Raises NotFound where it is neither recorded nor readable.
    """
    stated = StatedUnit(serial=serial)
    answer = check(shop, caller, Question(unit=stated, means=means))
    facts = answer.case.unit
    must_be_known(facts, serial)
    return KnownUnit(
        facts=facts,
        record=facts.record,
        agreement=agreement_of(answer),
        occupants=tuple(_occupants(answer)),
        answer=answer,
        advice=_advice(shop, caller, stated, answer),
    )


def parts_for(
    shop: Shop, caller: Caller, serial: str, *, role: str | None = None, function: str | None = None
) -> PartsOfUnit:
    """The parts for one unit, its breaks and its market taken into account.

    Raises NotFound as `known_unit` does, and Refused for names that do not exist.
    """
    compiled = shop.catalogue()
    found = find_parts(compiled, role=role, function=function)
    facts = _facts(shop, caller, compiled, serial)
    order = found.order
    fitting = [part for part in parts_of_unit(compiled, facts) if part.part.role in order]
    fitting.sort(key=lambda each: (order.index(each.part.role), not each.certain, each.part.number))
    return PartsOfUnit(facts=facts, parts=tuple(fitting), functions=found.functions, shared=found.shared)


def agreement_of(answer: Answer) -> Agreement:
    """Whether the boards agree, told by the answer about the unit as it is."""
    match answer.fit, answer.programming:
        case Fit.NO, _:
            return _refused({each.reason.rule for each in answer.reasons if each.reason.deciding})
        case _ if surely_not_usable(answer.case):
            return Agreement.NOT_USABLE
        case Fit.YES, Programming.NONE:
            return Agreement.AGREE
        case Fit.YES, Programming.NEEDED:
            return Agreement.NOT_INTRODUCED
        case _:
            return Agreement.UNKNOWN


def _refused(rules: Collection[Rule]) -> Agreement:
    """What the rules say that keep a unit from running as it is."""
    if Rule.AGREE in rules:
        return Agreement.DISAGREE
    return Agreement.INCOMPLETE if Rule.ASSIGNABLE in rules else Agreement.RELEASES_DISAGREE


def _advice(shop: Shop, caller: Caller, unit: StatedUnit, answer: Answer) -> Advice | None:
    renewing = new_boards(unit, answer)
    return advice(answer, check(shop, caller, renewing) if renewing else None)


def _facts(shop: Shop, caller: Caller, compiled: CompiledCatalogue, serial: str) -> UnitFacts:
    plate = decode(compiled.catalogue.schemes, Subject.UNIT, serial)
    record = None
    if caller.view is not View.PUBLIC:
        record = shop.gather((), (plate.serial,), None).units.get(plate.serial)
    facts = unit_facts(compiled, StatedUnit(serial=serial), record)
    must_be_known(facts, serial)
    return facts


def must_be_known(facts: UnitFacts, serial: str) -> None:
    """Raises NotFound for a unit that is neither recorded nor has a plate that can be read."""
    if facts.record is None and isinstance(facts.plate, Unreadable):
        mend = read_again(facts.plate, "plate")
        raise NotFound("unit", serial, f"{mend}, or ask by model at /v1/parts?model=")


def _occupants(answer: Answer) -> Iterator[Occupant]:
    case = answer.case
    hubs = case.unit.hubs
    for place in dict.fromkeys(place for hub in hubs for place in hub.places):
        board = case.present.get(place)
        factory = dict.fromkeys(number for hub in hubs for number in hub.factory_parts(place.role))
        known = sorted(board.part.values or ()) if board is not None else ()
        yield Occupant(
            place=place,
            empty=place in case.empty,
            board=board,
            parts=() if place in case.empty else tuple(map(PartNumber, known)) or tuple(factory),
        )
