"""The cases that decisions are measured on: nothing is unknown in them, and no two are alike."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from datetime import date

from service.demo import serials
from service.demo.world import demo_catalogue
from service.domain.catalogue.compiled import CompiledCatalogue, compile_catalogue
from service.domain.catalogue.hub import Hub
from service.domain.facts.case import CaseFacts
from service.domain.facts.question import Question, StatedBoard, StatedUnit, Statement
from service.domain.fit import worlds
from service.domain.rules.board import Board
from service.domain.terms import Condition, MarketId, ModelId, PartNumber, RoleId
from service.papers import read_catalogue
from tests.support.cases import case_of


def compiled_demo() -> CompiledCatalogue:
    return compile_catalogue(read_catalogue(demo_catalogue()))


UNITS = (
    serials.CUSTOMER_WREN_4,
    serials.CUSTOMER_WREN_8,
    serials.CUSTOMER_CURLEW_12,
    serials.CUSTOMER_CURLEW_20,
    serials.CUSTOMER_CURLEW_20_A,
    serials.CUSTOMER_PLOVER_40,
    serials.CUSTOMER_PLOVER_60,
)
"""A plate of each covered model."""


def known_cases(compiled: CompiledCatalogue) -> Iterator[CaseFacts]:
    """A unit of every covered model with every part, every binding it can have, usable and not."""
    for plate, (number, part) in itertools.product(UNITS, compiled.catalogue.parts.items()):
        for bound in (None, *sorted(compiled.binding_domain[number])):
            for condition in Condition:
                asked = _known_question(plate, number, part.role, bound, condition)
                yield case_of(compiled, asked).facts


def _known_question(
    plate: str, number: PartNumber, role: RoleId, bound: ModelId | None, condition: Condition
) -> Question:
    claimed = Statement(
        part=number,
        binding="bound" if bound else "blank",
        bound_model=bound,
        holds="NOBODY" if bound else "",
        condition=str(condition),
    )
    unit = StatedUnit(serial=plate, market=MarketId("mainland"), made_on=date(2024, 5, 31))
    return Question(unit=unit, boards=(StatedBoard(role=role, claimed=claimed),))


def known_pairs() -> list[tuple[Hub, Board]]:
    """The proposed board of each case with its unit, as the rules see them."""
    return [
        (case.hubs[0], board.cells[0].board)
        for case in known_cases(compiled_demo())
        for board in _of_proposed(case)
    ]


def _of_proposed(case: CaseFacts) -> Iterator[worlds.Cells]:
    (row,) = worlds.rows(case)
    yield from (cells for cells in row.places.values() if cells.cells and cells.cells[0].board.proposed)
