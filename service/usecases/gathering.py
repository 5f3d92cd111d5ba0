"""What the questions of a caller are answered from: the records of all of them, gathered at once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from service.domain.catalogue.compiled import CompiledCatalogue
from service.domain.facts.gathering import NO_RECORDS, serials_of
from service.domain.facts.question import Question
from service.domain.facts.sources import Sources
from service.domain.terms import Serial
from service.usecases.caller import Caller, View
from service.usecases.shop import Shop


def sources_of(
    shop: Shop,
    caller: Caller,
    compiled: CompiledCatalogue,
    questions: Iterable[Question],
    as_of: datetime | None = None,
) -> Sources:
    """The catalogue, with the records of every serial in the questions; for the public without any."""
    if caller.view is View.PUBLIC:
        return Sources(compiled=compiled, records=NO_RECORDS, looked_up=False)
    boards: set[Serial] = set()
    units: set[Serial] = set()
    for question in questions:
        own_boards, own_units = serials_of(compiled, question)
        boards |= own_boards
        units |= own_units
    return Sources(compiled=compiled, records=shop.gather(boards, units, as_of), looked_up=True)
