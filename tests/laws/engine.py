"""The one door through which the laws ask the service; nothing else here imports it.

`ask_engine` takes plain documents and gives a plain answer, so that an oracle and the service can be
compared without sharing a single type.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from functools import lru_cache
from typing import Any

from service.api.asking import question as question_put
from service.api.schemas.question import FitQuestion
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.facts.records import BindingRecord, BoardRecord, Records, UnitRecord
from service.domain.fit.answer import Answer
from service.domain.fit.asking import Ask
from service.domain.fit.conclusion import GroundedReason
from service.domain.terms import Condition, MarketId, ModelId, PartNumber, RoleId, Serial
from service.papers import read_catalogue
from tests.oracles.world import Document
from tests.support.cases import answer

SCHEMA = FitQuestion()


def ask_engine(catalogue: Document, question: Document, records: Document) -> dict[str, Any]:
    """Ask the service.

    `catalogue` is a document of format 1, `question` the body of a fit check, `records` what
    `tests.oracles.statements` describes. The answer:

    - `fit`, `programming`, `outcome`, and `cause` (None where the fit is known);
    - `deciding`: the deciding reasons as a sorted list of [rule, place, code], the place as `main` or
      `bumper.left`, and the empty text for what concerns the unit;
    - `ask`: the fact to find out next (`unit.model`, `unit.serial`, `unit.made_on`, `unit.market`, or a place
      with `.part`, `.binding`, `.holds`, `.condition`, `.introduced` or `.release`), or None;
    - `chain`: the questions as the service gives them, each fact with its answers, and what follows on each.
    """
    put = question_put(SCHEMA.load(dict(question)))
    found = answer(compiled(catalogue), put, records_of(records))
    return {
        "fit": str(found.fit),
        "programming": str(found.programming),
        "outcome": str(found.outcome),
        "cause": str(found.cause) if found.cause else None,
        "deciding": sorted(deciding(found)),
        "ask": found.ask.fact if found.ask else None,
        "chain": chain(found.ask),
    }


def deciding(found: Answer) -> Iterator[list[Any]]:
    for grounded in found.reasons:
        if grounded.reason.deciding:
            yield reason(grounded)


def reason(grounded: GroundedReason) -> list[Any]:
    return [int(grounded.reason.rule), str(grounded.reason.place), grounded.reason.code]


def chain(ask: Ask | None) -> Document | None:
    if ask is None:
        return None
    return {
        "fact": ask.fact,
        "answers": [
            {"values": list(each.values), "outcome": str(each.outcome), "then": chain(each.then)}
            for each in ask.answers
        ],
    }


COMPILED: dict[int, tuple[Document, CompiledCatalogue]] = {}
"""By identity: the laws ask thousands of questions of one document object."""


def compiled(document: Document) -> CompiledCatalogue:
    known = COMPILED.get(id(document))
    if known is None or known[0] is not document:
        known = document, compiled_text(json.dumps(document))
        COMPILED[id(document)] = known
    return known[1]


@lru_cache(maxsize=256)
def compiled_text(text: str) -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(text))


def spot(place: str) -> tuple[RoleId, str]:
    role, _, name = place.partition(".")
    return RoleId(role), name


def spots(each: Document, fact: str) -> frozenset[tuple[RoleId, str]]:
    return frozenset(map(spot, each.get(fact, ())))


def records_of(document: Document) -> Records:
    """The records that a ledger would have gathered, from their plain form."""
    boards = {Serial(serial): board_of(serial, each) for serial, each in document.get("boards", {}).items()}
    units = {
        Serial(serial): unit_of(serial, each, boards) for serial, each in document.get("units", {}).items()
    }
    return Records(boards=boards, units=units, ledger_version=1)


def board_of(serial: str, each: Document) -> BoardRecord:
    binding = each.get("binding", {})
    values = binding.get("values")
    return BoardRecord(
        serial=Serial(serial),
        version=1,
        part=PartNumber(each["part"]) if "part" in each else None,
        binding=BindingRecord(
            values=None if values is None else frozenset(values),
            any_model=binding.get("any_model", False),
            contradiction=binding.get("contradiction", False),
        ),
        held_serial=Serial(each["held_serial"]) if "held_serial" in each else None,
        holder_in_service=each.get("holder_in_service"),
        conditions=frozenset(map(Condition, each.get("conditions", ["usable"]))),
        release=each.get("release"),
        partner=Serial(each["partner"]) if "partner" in each else None,
        in_unit=Serial(each["in_unit"]) if "in_unit" in each else None,
        role=RoleId(each["role"]) if "role" in each else None,
        place=each.get("place", ""),
        donor=Serial(each["donor"]) if "donor" in each else None,
    )


def unit_of(serial: str, each: Document, boards: dict[Serial, BoardRecord]) -> UnitRecord:
    return UnitRecord(
        serial=Serial(serial),
        version=1,
        registered=each.get("registered", False),
        in_service=each.get("in_service", False),
        model=ModelId(each["model"]) if "model" in each else None,
        market=MarketId(each["market"]) if "market" in each else None,
        made_on=date.fromisoformat(each["made_on"]) if "made_on" in each else None,
        boards={spot(place): boards[Serial(board)] for place, board in each.get("boards", {}).items()},
        emptied=spots(each, "emptied"),
        changed=spots(each, "changed"),
        not_introduced=spots(each, "not_introduced"),
        maybe_introduced=spots(each, "maybe_introduced"),
    )
