"""Boards in stock of which nobody wrote down which part they are, and which may be one for a place (Q8).

They come after all others: which part one is has to be found out before it is taken. They stand in no range
of the stock's order, so a bounded number of them is looked at.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.question import ImpossibleQuestion, Question
from service.domain.facts.records import BoardRecord
from service.domain.fit.answer import Answer
from service.domain.serials import Decoded
from service.domain.terms import Fit, PartNumber, Serial
from service.store.stock import of_no_part
from service.usecases.caller import Caller
from service.usecases.fit import check_many
from service.usecases.shelving import in_stock
from service.usecases.shop import Shop

LOOKED_AT = 200
"""So many boards of no recorded part are looked at, tested ones first, then by serial."""
SHOWN = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Unidentified:
    """A board in stock that may be a part for a place."""

    record: BoardRecord
    parts: tuple[PartNumber, ...]
    """All that its label may stand for."""
    answer: Answer


def unidentified(
    shop: Shop, caller: Caller, suiting: Collection[PartNumber], questions: Sequence[Question]
) -> Iterator[Unidentified]:
    """The boards of these questions, one in each, that may fit and are not known to be of one part."""
    compiled = shop.catalogue()
    for question, answer in zip(questions, check_many(shop, caller, questions), strict=True):
        if isinstance(answer, ImpossibleQuestion) or answer.fit is Fit.NO:
            continue
        record, serial = answer.case.proposed[0].record, question.boards[0].serial
        # Somebody may have taken it, or read which part it is, since the list was read.
        if record is not None and record.part is None and in_stock(record) and serial is not None:
            parts = tuple(sorted(_parts(compiled, serial) & set(suiting)))
            yield Unidentified(record=record, parts=parts, answer=answer)


def serials_that_may_suit(shop: Shop, suiting: Collection[PartNumber]) -> list[Serial]:
    """The boards of no recorded part whose label may stand for one of these parts."""
    compiled, wanted = shop.catalogue(), set(suiting)
    found = shop.reader.read(partial(of_no_part, limit=LOOKED_AT))
    return [serial for serial in found if _parts(compiled, serial) & wanted][:SHOWN]


def _parts(compiled: CompiledCatalogue, serial: str) -> frozenset[PartNumber]:
    label = compiled.read_board(serial)
    return label.parts if isinstance(label, Decoded) else frozenset()
